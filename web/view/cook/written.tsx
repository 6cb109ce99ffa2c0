import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

type WrittenProps = {
  label: string;
  value: string;
  most: number;
  rows?: number;
  testid?: string;
  /** Stands in the field while nothing is written. */
  hint?: string;
  /** @returns whether it was stored */
  onStore: (text: string) => Promise<boolean>;
};

/** Wait for the typing to pause, ms. */
const TYPING_PAUSE_MS = 700;

/** A text that is stored while it is written: what stands in the field is its own until then. */
export function Written({ label, value, most, rows, testid, hint, onStore }: WrittenProps): JSX.Element {
  const text = useSignal(value);
  const state = useSignal<'' | 'Storing …' | 'Stored.' | 'Not stored yet.'>('');
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  const stored = useRef(value);
  const store = async (): Promise<void> => {
    clearTimeout(timer.current);
    const wanted = text.peek();
    if (wanted === stored.current) return;
    state.value = 'Storing …';
    if (await onStore(wanted)) stored.current = wanted;
    state.value = stored.current === text.peek() ? 'Stored.' : 'Not stored yet.';
  };
  // Who goes to another page in the middle of a word loses none of it.
  useEffect(() => () => void store(), []);
  const shared = {
    value: text.value,
    maxLength: most,
    placeholder: hint,
    'aria-label': label,
    'data-testid': testid,
    onInput: (event: { currentTarget: { value: string } }) => {
      text.value = event.currentTarget.value;
      clearTimeout(timer.current);
      timer.current = setTimeout(() => void store(), TYPING_PAUSE_MS);
    },
    onBlur: () => void store(),
  };
  return (
    <div class="written">
      {rows === undefined ? <input type="text" {...shared} /> : <textarea rows={rows} {...shared} />}
      <span role="status">{state.value}</span>
    </div>
  );
}
