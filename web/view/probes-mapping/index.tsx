import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { freshDraft, type Draft, mappingOf } from '../../stores/probes/mapping-draft.ts';
import { deviceList, watchDevices } from '../../stores/probes/device-list.ts';
import { Bytes } from './bytes.tsx';
import { Keep } from './keep.tsx';
import { Listen } from './listen.tsx';
import { Values } from './values.tsx';
import { actionError } from '../../stores/act/acts.ts';
import { partForTap } from '../../api.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import type { DraftProps } from './draft-props.ts';

/** Mappings are files that people can share. */
function File({ draft, edit }: DraftProps): JSX.Element {
  const take = async (input: HTMLInputElement): Promise<void> => {
    const file = input.files?.[0];
    if (!file) return;
    try {
      const { draftOf } = await partForTap(import('../../stores/probes/mapping-file.ts'));
      edit(draftOf(await file.text(), draft.device));
      actionError.value = null;
    } catch (error) {
      actionError.value = error instanceof Error ? error.message : String(error);
    }
    input.value = '';
  };
  const save = (): void => {
    const mapping = mappingOf(draft);
    if (typeof mapping === 'string') actionError.value = mapping;
    else download(`${mapping.name.replaceAll(/[^\p{L}\p{N}]+/gu, '-').toLowerCase()}.mapping.json`, mapping);
  };
  return (
    <>
      <label class="button file">
        <RareIcon name="bring" /> Import
        <input
          type="file"
          accept=".json,application/json"
          data-testid="mapping-import"
          onChange={(event) => void take(event.currentTarget)}
        />
      </label>
      <Button data-testid="mapping-export" onClick={save}>
        <RareIcon name="take" /> Export
      </Button>
    </>
  );
}

function download(name: string, content: object): void {
  const url = URL.createObjectURL(
    new Blob([`${JSON.stringify(content, null, 2)}\n`], { type: 'application/json' }),
  );
  const link = Object.assign(document.createElement('a'), { href: url, download: name });
  link.click();
  URL.revokeObjectURL(url);
}

/** What is being built outlives a look at another page. */
const draft = signal<Draft>(freshDraft());
const edit = (patch: Partial<Draft>): void => {
  draft.value = { ...draft.value, ...patch };
};

/** Where a person says how to read a device that speaks no open standard, watching its bytes while they do. */
export function MappingPage({ device: wanted }: { device: string }): JSX.Element {
  useEffect(watchDevices, []);
  useEffect(() => {
    if (wanted !== '' && wanted !== draft.peek().device) draft.value = freshDraft(wanted);
  }, [wanted]);
  const { value } = draft;
  const device = deviceList.value?.devices.find((device) => device.id === value.device);
  const sample = frameOf(value, device);
  const props = { draft: value, edit };
  return (
    <div class="page probes mapping">
      <header class="page-head">
        <h1>Build a mapping</h1>
        <div class="row">
          <File {...props} />
          <a class="button" href="#/probes">
            Back to the probes
          </a>
        </div>
      </header>
      <p>
        For a thermometer that speaks no open standard: say where its bytes come from and which of them are
        the temperature. Warm the probe in your hand and watch which bytes move.
      </p>
      <Listen {...props} device={device} />
      {value.place && <Bytes {...props} sample={sample} />}
      {value.place && <Values {...props} />}
      {value.place && <Keep {...props} sample={sample} />}
    </div>
  );
}

/** The last frame of the chosen place. */
function frameOf({ place }: Draft, device: ListedDevice | undefined): DeviceValue | undefined {
  if (!place) return undefined;
  return device?.values.find(
    ({ address }) =>
      address.source === 'ble' &&
      address.advert === place.advert &&
      address.characteristic === place.characteristic &&
      (address.instance ?? 0) === (place.instance ?? 0),
  );
}
