import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';

/** Fields of forms that are sent as a whole; what they hold is text until then. */

type FieldProps = { label: string; value: Signal<string>; testid?: string; wide?: boolean; hint?: string };

export const Field = ({ label, value, testid, wide = false, hint }: FieldProps): JSX.Element => (
  <label class="field">
    {label}
    <input
      type="text"
      inputMode={wide ? 'text' : 'decimal'}
      autocomplete="off"
      value={value.value}
      placeholder={hint}
      data-testid={testid}
      onInput={(event) => {
        value.value = event.currentTarget.value;
      }}
    />
  </label>
);

type SelectProps = {
  label: string;
  options: readonly (readonly [value: string, label: string])[];
  value: Signal<string>;
  testid?: string;
};

export const Select = ({ label, options, value, testid }: SelectProps): JSX.Element => (
  <label class="field">
    {label}
    <select
      value={value.value}
      data-testid={testid}
      onChange={(event) => {
        value.value = event.currentTarget.value;
      }}
    >
      {options.map(([key, text]) => (
        <option key={key} value={key}>
          {text}
        </option>
      ))}
    </select>
  </label>
);
