import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { TextField as Typed } from '../sheet/fields.tsx';

type TextProps = { label: string; value: Signal<string>; testid?: string; secret?: boolean };

/** A text of a form that is sent as a whole. */
export const TextField = ({ value, secret, ...rest }: TextProps): JSX.Element => (
  <Typed
    {...rest}
    wide
    value={value.value}
    kind={secret ? 'password' : undefined}
    onType={(text) => {
      value.value = text;
    }}
  />
);
