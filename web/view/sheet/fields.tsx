import type { JSX, TargetedInputEvent } from 'preact';

type TextProps = {
  label: string;
  value: string;
  onType(text: string): void;
  testid?: string | undefined;
  /** Digits come up first; a password is not shown. */
  kind?: 'decimal' | 'password' | undefined;
  most?: number;
  hint?: string | undefined;
  wide?: boolean;
};

/** A line of text, taken in as it is typed. */
export function TextField({ label, value, onType, testid, kind, most, hint, wide }: TextProps): JSX.Element {
  const rest = {
    autocomplete: 'off',
    spellcheck: false,
    value,
    maxLength: most,
    placeholder: hint,
    'data-testid': testid,
    onInput: (event: TargetedInputEvent<HTMLInputElement>): void => onType(event.currentTarget.value),
  };
  return (
    <label class={wide ? 'field wide' : 'field'}>
      {label}
      {kind === 'password' ? (
        <input type="password" {...rest} />
      ) : (
        <input type="text" inputMode={kind ?? 'text'} {...rest} />
      )}
    </label>
  );
}

type SelectProps<Value extends string> = {
  label: string;
  options: readonly (readonly [value: Value, label: string])[];
  value: Value;
  onChoose(value: Value): void;
  testid?: string | undefined;
};

/** One of many, as the device lists them. */
export const SelectField = <Value extends string>({
  label,
  options,
  value,
  onChoose,
  testid,
}: SelectProps<Value>): JSX.Element => (
  <label class="field">
    {label}
    <select
      value={value}
      data-testid={testid}
      onChange={(event) => {
        const chosen = options.find(([key]) => key === event.currentTarget.value);
        if (chosen) onChoose(chosen[0]);
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
