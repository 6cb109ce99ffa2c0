import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { fromFahrenheit } from '../../../shared/units.ts';
import { inUnit } from '../../lib/format.ts';
import { unit } from '../../stores/settings.ts';

type NumberProps = {
  label: string;
  value: number;
  low: number;
  high: number;
  onKeep(value: number): Promise<boolean>;
};

const tidy = (value: number): string => String(Math.round(value * 100) / 100);

/** A number that is kept when the field is left; what cannot be one is said, and the old value comes back. */
export function NumberField({ label, value, low, high, onKeep }: NumberProps): JSX.Element {
  const wrong = useSignal('');
  const keep = async (input: HTMLInputElement): Promise<void> => {
    const typed = Number(input.value.replace(',', '.'));
    const usable = input.value.trim() !== '' && typed >= low && typed <= high;
    wrong.value = usable
      ? ''
      : `Write a number from ${tidy(low)} to ${tidy(high)}; “${input.value}” was not saved.`;
    if (!usable || !(await onKeep(typed))) input.value = tidy(value);
  };
  return (
    <label class="field">
      {label}
      <input
        type="text"
        inputMode="decimal"
        value={tidy(value)}
        aria-invalid={wrong.value !== ''}
        onChange={(event) => void keep(event.currentTarget)}
      />
      <span class="wrong" role="status">
        {wrong.value}
      </span>
    </label>
  );
}

type TemperatureProps = { label: string; celsius: number; onKeep(celsius: number): Promise<boolean> };

/** A temperature in the person's unit, kept in °C; whole degrees come back as they were typed. */
export const TemperatureField = ({ label, celsius, onKeep }: TemperatureProps): JSX.Element => (
  <NumberField
    label={`${label}, °${unit.value}`}
    value={Math.round(inUnit(celsius, unit.value) * 10) / 10}
    low={Math.round(inUnit(20, unit.value))}
    high={Math.round(inUnit(600, unit.value))}
    onKeep={(value) => onKeep(unit.value === 'F' ? fromFahrenheit(value) : value)}
  />
);
