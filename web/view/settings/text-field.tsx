import type { Signal } from '@preact/signals';
import type { JSX, TargetedInputEvent } from 'preact';

type TextProps = { label: string; value: Signal<string>; testid?: string; secret?: boolean };

/** A text of a form that is sent as a whole. */
export function TextField({ label, value, testid, secret }: TextProps): JSX.Element {
  const rest = {
    autocomplete: 'off',
    value: value.value,
    'data-testid': testid,
    onInput: (event: TargetedInputEvent<HTMLInputElement>): void => {
      value.value = event.currentTarget.value;
    },
  };
  return (
    <label class="field wide">
      {label}
      {secret ? <input type="password" {...rest} /> : <input type="text" {...rest} />}
    </label>
  );
}
