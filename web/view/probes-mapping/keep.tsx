import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { ReachValue } from '../../../shared/reach.ts';
import { go } from '../../lib/router.ts';
import { mappingOf, valueAt } from '../../stores/mapping-draft.ts';
import { addProbe, give, placeName, places } from '../../stores/reach.ts';
import { Icon } from '../icon/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import type { DraftProps } from './draft-props.ts';

type Props = DraftProps & { heard: ReachValue | undefined };

/** Keeps the mapping as a probe. */
export function Keep({ draft, edit, heard }: Props): JSX.Element {
  const channel = useSignal('');
  const wrong = useSignal('');
  const keep = async (): Promise<void> => {
    const mapping = mappingOf(draft);
    wrong.value = typeof mapping === 'string' ? mapping : '';
    if (typeof mapping === 'string') return;
    const { service, characteristic, instance, advert } = draft.place ?? {};
    const part = valueAt(draft).part.trim();
    const address = {
      source: 'ble' as const,
      device: draft.device,
      service,
      characteristic,
      instance,
      advert,
      part,
    };
    const reads = { name: mapping.name, decoder: 'mapping', options: { mapping } };
    const place = channel.value || null;
    const label = place === null ? 'Mapping kept' : `Given to ${placeName(place)}`;
    // A place that has a probe already is read anew, not twice.
    if (heard?.probe != null) await give({ ...heard, address }, place, reads);
    else if (!(await addProbe({ ...reads, address, channel: place }, label))) return;
    go('#/probes');
  };
  return (
    <section class="step">
      <h2>4 · Keep it</h2>
      <label class="field">
        Name
        <input
          type="text"
          maxLength={80}
          value={draft.name}
          data-testid="mapping-name"
          onInput={(event) => edit({ name: event.currentTarget.value })}
        />
      </label>
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
        value={channel.value}
        onChoose={(next) => {
          channel.value = next;
        }}
        testid="mapping-give"
      />
      <p class="wrong" role="alert">
        {wrong.value}
      </p>
      <button type="button" class="button strong" data-testid="mapping-keep" onClick={() => void keep()}>
        <Icon name="check" /> Keep the mapping
      </button>
    </section>
  );
}
