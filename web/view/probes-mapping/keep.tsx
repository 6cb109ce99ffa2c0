import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { DeviceValue } from '../../../shared/api/devices.ts';
import { go } from '../../lib/router.ts';
import { mappingOf, valueAt } from '../../stores/probes/mapping-draft.ts';
import { addProbe, give, placeName, places } from '../../stores/probes/device-list.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import { TextField } from '../sheet/fields.tsx';
import type { DraftProps } from './draft-props.ts';

type Props = DraftProps & { sample: DeviceValue | undefined };

/** @returns why it is not kept; null once it is, or where the server has said why not */
async function keepAs({ draft, sample }: Props, channel: string | null): Promise<string | null> {
  const mapping = mappingOf(draft);
  if (typeof mapping === 'string') return mapping;
  const { service, characteristic, instance, advert } = draft.place ?? {};
  const part = valueAt(draft).part.trim();
  const at = { service, characteristic, instance, advert, part };
  const address = { source: 'ble' as const, device: draft.device, ...at };
  const reads = { name: mapping.name, decoder: 'mapping', options: { mapping } };
  const label = channel === null ? 'Mapping saved' : `Given to ${placeName(channel)}`;
  // A place that has a probe already is read anew, not twice.
  const isKept = sample?.probe
    ? await give({ ...sample, address }, channel, reads)
    : (await addProbe({ ...reads, address, channel }, label)) !== null;
  if (isKept) go('#/probes');
  return null;
}

/** Keeps the mapping as a probe. */
export function Keep(props: Props): JSX.Element {
  const { draft, edit } = props;
  const channel = useSignal('');
  const wrong = useSignal('');
  const keep = async (): Promise<void> => {
    wrong.value = (await keepAs(props, channel.value || null)) ?? '';
  };
  return (
    <section class="step">
      <h2>4 · Save it</h2>
      <TextField
        label="Name"
        most={80}
        value={draft.name}
        testid="mapping-name"
        onType={(name) => edit({ name })}
      />
      <label class="field">
        Note for others who use the file
        <textarea
          rows={2}
          value={draft.note}
          onInput={(event) => edit({ note: event.currentTarget.value })}
        />
      </label>
      <Choice
        legend="Give it to"
        name="mapping-channel"
        options={[...places.value, ['', 'Not used yet'] as const]}
        bind={channel}
        testid="mapping-give"
      />
      <p class="wrong" role="alert">
        {wrong.value}
      </p>
      <Button look="strong" data-testid="mapping-keep" onClick={() => void keep()}>
        <Icon name="check" /> Save the mapping
      </Button>
    </section>
  );
}
