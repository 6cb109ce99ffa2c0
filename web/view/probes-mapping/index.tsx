import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { freshDraft, type Draft } from '../../stores/probes/mapping-draft.ts';
import { deviceList, watchDevices } from '../../stores/probes/device-list.ts';
import { Bytes } from './bytes.tsx';
import { File } from './file.tsx';
import { Keep } from './keep.tsx';
import { Listen } from './listen.tsx';
import { Values } from './values.tsx';

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
