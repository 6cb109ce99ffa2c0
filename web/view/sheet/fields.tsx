import type { Signal } from '@preact/signals';
import type { JSX, TargetedInputEvent } from 'preact';
import { choose, chosenIn, type Chosen } from './choice.tsx';

/** The text lives in a signal, or with the caller. */
type Typed = { bind: Signal<string> } | { value: string; onType(text: string): void };

type TextProps = Typed & {
  label: string;
  testid?: string | undefined;
  /** Digits come up first; a password is not shown. */
  kind?: 'decimal' | 'password' | undefined;
  most?: number;
  hint?: string | undefined;
  wide?: boolean;
};

/** A line of text, taken in as it is typed. */
export function TextField({ label, testid, kind, most, hint, wide, ...typed }: TextProps): JSX.Element {
  const rest = {
    autocomplete: 'off',
    spellcheck: false,
    value: 'bind' in typed ? typed.bind.value : typed.value,
    maxLength: most,
    placeholder: hint,
    'data-testid': testid,
    onInput({ currentTarget: { value } }: TargetedInputEvent<HTMLInputElement>): void {
      if ('bind' in typed) typed.bind.value = value;
      else typed.onType(value);
    },
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

type SelectProps<Value extends string> = Chosen<Value> & {
  label: string;
  options: readonly (readonly [value: Value, label: string])[];
  testid?: string | undefined;
};

/** One of many, as the device lists them. */
export const SelectField = <Value extends string>(props: SelectProps<Value>): JSX.Element => (
  <label class="field">
    {props.label}
    <select
      value={chosenIn(props) ?? undefined}
      data-testid={props.testid}
      onChange={(event) => {
        const chosen = props.options.find(([key]) => key === event.currentTarget.value);
        if (chosen) choose(props, chosen[0]);
      }}
    >
      {props.options.map(([key, text]) => (
        <option key={key} value={key}>
          {text}
        </option>
      ))}
    </select>
  </label>
);
