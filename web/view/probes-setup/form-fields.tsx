import type { Signal } from '@preact/signals';
import type { ComponentProps, JSX } from 'preact';
import { SelectField, TextField } from '../sheet/fields.tsx';

/** Fields of forms that are sent as a whole; what they hold is text until then. */

type FieldProps = { label: string; value: Signal<string>; testid?: string; wide?: boolean; hint?: string };

export const Field = ({ value, wide = false, ...rest }: FieldProps): JSX.Element => (
  <TextField
    {...rest}
    value={value.value}
    kind={wide ? undefined : 'decimal'}
    onType={(text) => {
      value.value = text;
    }}
  />
);

type SelectProps = Pick<ComponentProps<typeof SelectField<string>>, 'label' | 'options' | 'testid'> & {
  value: Signal<string>;
};

export const Select = ({ value, ...rest }: SelectProps): JSX.Element => (
  <SelectField
    {...rest}
    value={value.value}
    onChoose={(chosen) => {
      value.value = chosen;
    }}
  />
);
