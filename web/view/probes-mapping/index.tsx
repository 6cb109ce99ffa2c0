import { signal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { ReachDevice, ReachValue } from '../../../shared/reach.ts';
import { freshDraft, type Draft } from '../../stores/mapping-draft.ts';
import { reach, watchReach } from '../../stores/reach.ts';
import { Styles } from '../probes/styles.tsx';
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
  useEffect(watchReach, []);
  useEffect(() => {
    if (wanted !== '' && wanted !== draft.peek().device) draft.value = freshDraft(wanted);
  }, [wanted]);
  const { value } = draft;
  const device = reach.value?.devices.find((one) => one.id === value.device);
  const heard = frameOf(value, device);
  const props = { draft: value, edit };
  return (
    <div class="page probes mapping">
      <Styles />
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
      {value.place && <Bytes {...props} heard={heard} />}
      {value.place && <Values {...props} />}
      {value.place && <Keep {...props} heard={heard} />}
    </div>
  );
}

/** The last frame of the chosen place. */
function frameOf({ place }: Draft, device: ReachDevice | undefined): ReachValue | undefined {
  if (!place) return undefined;
  return device?.values.find(
    ({ address }) =>
      address.source === 'ble' &&
      address.advert === place.advert &&
      address.characteristic === place.characteristic &&
      (address.instance ?? 0) === (place.instance ?? 0),
  );
}
