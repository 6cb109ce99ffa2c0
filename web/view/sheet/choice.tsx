import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';

/** What is chosen lives in a signal, or with the caller. */
export type Chosen<Value> = { bind: Signal<Value> } | { value: Value | null; onChoose(value: Value): void };

export const chosenIn = <Value,>(chosen: Chosen<Value>): Value | null =>
  'bind' in chosen ? chosen.bind.value : chosen.value;

export function choose<Value>(chosen: Chosen<Value>, value: Value): void {
  if ('bind' in chosen) chosen.bind.value = value;
  else chosen.onChoose(value);
}

type Props<Value extends string> = Chosen<Value> & {
  legend: string;
  name: string;
  options: readonly (readonly [value: Value, label: string])[];
  testid?: string;
};

/** One of a few, as large buttons; radio buttons underneath, so that keys and screen readers know them. */
export function Choice<Value extends string>({
  legend,
  name,
  options,
  testid,
  ...chosen
}: Props<Value>): JSX.Element {
  return (
    <fieldset class="choices">
      <legend>{legend}</legend>
      {options.map(([key, label]) => (
        <label class="choice" key={key}>
          <input
            type="radio"
            name={name}
            checked={chosenIn(chosen) === key}
            onChange={() => choose(chosen, key)}
            data-testid={testid && `${testid}-${key}`}
          />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  );
}
