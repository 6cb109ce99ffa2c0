import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { DeviceValue, Tried } from '../../../shared/api/devices.ts';
import { formatAge } from '../../lib/format.ts';
import { bytesOf, mappingOf, valueAt, withValue, type Draft } from '../../stores/probes/mapping-draft.ts';
import { tryRead } from '../../stores/probes/device-list.ts';
import { formatTenths, isElectrical, rawWords } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import type { DraftProps } from './draft-props.ts';

type Props = DraftProps & { sample: DeviceValue | undefined };

/** The bytes as they come, those of the value marked, and beside them what the mapping makes of them. */
export function Bytes({ draft, edit, sample }: Props): JSX.Element {
  const tried = useTried(draft, sample?.raw ?? '');
  const pairs = sample?.raw.match(/../g) ?? [];
  const [from, to] = bytesOf(valueAt(draft));
  return (
    <section class="step watched">
      <h2>2 · Tap the first byte of the temperature</h2>
      {sample ? (
        <p class="device-words">
          {pairs.length} bytes, {formatAge(sample.age)} ago
        </p>
      ) : (
        <p role="status">Nothing has come from there yet. Some devices must be told to begin: see above.</p>
      )}
      <div class="beside-bytes">
        <div class="bytes" role="group" aria-label="Bytes, tap the first of the value" data-testid="bytes">
          {pairs.map((pair, i) => (
            <button
              // Bytes are their places.
              key={i}
              type="button"
              class={`byte ${i >= from && i < to ? 'chosen' : ''}`}
              aria-pressed={i >= from && i < to}
              data-testid={`byte-${i}`}
              onClick={() => edit(withValue(draft, { offset: i }))}
            >
              <small>
                <span class="visually-hidden">Byte </span>
                {i}
              </small>
              <span>{pair}</span>
            </button>
          ))}
        </div>
        <Decoded tried={tried} draft={draft} />
      </div>
    </section>
  );
}

/** What the server makes of the bytes by the draft; asked anew when either changes. */
function useTried(draft: Draft, raw: string): Tried | null {
  const tried = useSignal<Tried | null>(null);
  const mapping = mappingOf(draft);
  const asked = typeof mapping === 'string' ? mapping : JSON.stringify(mapping);
  useEffect(() => {
    const off = new AbortController();
    const { device, place } = draft;
    const frame = { source: 'ble' as const, device, ...place, bytes: raw };
    const read = async (): Promise<void> => {
      if (typeof mapping === 'string') {
        tried.value = { decoder: null, label: '', values: [], problem: mapping };
        return;
      }
      if (raw === '') return;
      const answer = await tryRead(
        { frame, reads: { decoder: 'mapping', options: { mapping } } },
        off.signal,
      );
      if (!off.signal.aborted) tried.value = answer;
    };
    void read();
    return () => off.abort();
  }, [asked, raw, draft.device]);
  return tried.value;
}

function Decoded({ tried, draft }: { tried: Tried | null; draft: Draft }): JSX.Element {
  const { part } = valueAt(draft);
  return (
    <div class="decoded" role="status" data-testid="decoded">
      {tried?.problem && <p class="wrong">{tried.problem}</p>}
      {tried?.values.map((value) => (
        <p key={value.part} class={value.part === part.trim() ? 'at' : ''}>
          <span>{value.part || 'The value'}</span>
          <strong>
            {value.quantity === 'celsius' ? formatTenths(value.celsius, unit.value) : rawWords(value)}
          </strong>
          {value.fault && <span>{textInUnit(value.fault, unit.value)}</span>}
          {isElectrical(value) && <span>say on the probe page of which sensor</span>}
        </p>
      ))}
      {tried && !tried.problem && tried.values.length === 0 && (
        <p>These bytes are too few for it, or begin otherwise.</p>
      )}
    </div>
  );
}
