import type { JSX } from 'preact';

type Props<Value extends string> = {
  legend: string;
  name: string;
  options: readonly (readonly [value: Value, label: string])[];
  value: Value | null;
  onChoose(value: Value): void;
  testid?: string;
};

/** One of a few, as large buttons; radio buttons underneath, so that keys and screen readers know them. */
export function Choice<Value extends string>({
  legend,
  name,
  options,
  value,
  onChoose,
  testid,
}: Props<Value>): JSX.Element {
  return (
    <fieldset class="choices">
      <legend>{legend}</legend>
      {options.map(([key, label]) => (
        <label class="choice" key={key}>
          <input
            type="radio"
            name={name}
            checked={value === key}
            onChange={() => onChoose(key)}
            data-testid={testid && `${testid}-${key}`}
          />
          <span>{label}</span>
        </label>
      ))}
    </fieldset>
  );
}
