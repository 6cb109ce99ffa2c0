import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { RareIcon } from '../icon/rare.tsx';

type Props = {
  label: string;
  value: number;
  low: number;
  high: number;
  step?: number;
  unit?: string;
  onChange(value: number): void;
  testid?: string;
};

const tidy = (value: number): number => Math.round(value * 100) / 100;

/** A number that floury fingers change by large keys, or type. */
export function Stepper({ label, value, low, high, step = 1, unit, onChange, testid }: Props): JSX.Element {
  const hint = useSignal('');
  const set = (next: number): void => {
    hint.value = next >= low && next <= high ? '' : `From ${tidy(low)} to ${tidy(high)}.`;
    if (Number.isFinite(next)) onChange(tidy(Math.min(high, Math.max(low, next))));
  };
  /** A field that was emptied, or holds no number, shows again what counts. */
  const type = (field: HTMLInputElement): void => {
    const typed = field.value.trim().replace(',', '.');
    set(typed === '' ? Number.NaN : Number(typed));
    field.value = String(tidy(value));
  };
  return (
    <div class="stepper" role="group" aria-label={label}>
      <span class="stepper-label">
        {label}
        {unit && `, ${unit}`}
      </span>
      <Button aria-label={`${label}: less`} onClick={() => set(value - step)}>
        <RareIcon name="minus" />
      </Button>
      <input
        type="text"
        inputMode="decimal"
        aria-label={label}
        value={tidy(value)}
        data-testid={testid}
        onChange={(event) => type(event.currentTarget)}
      />
      <Button aria-label={`${label}: more`} onClick={() => set(value + step)}>
        <Icon name="plus" />
      </Button>
      <span role="status" class="stepper-label">
        {hint.value}
      </span>
    </div>
  );
}
