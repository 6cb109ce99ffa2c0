import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { probeOf, readAs } from '../../stores/probes/device-list.ts';
import { Button, Form } from '../button/index.tsx';

const KEY = /^[0-9a-f]{32}$/i;

/** An encrypted advertisement, and one whose key did not open it. */
const needsKey = ({ decoder, fault }: DeviceValue): boolean =>
  decoder === 'bthome' && fault !== undefined && /encrypted|the key/.test(fault);

/** Where the key of an encrypted BTHome device is typed in. */
export function Key({ device }: { device: ListedDevice }): JSX.Element | null {
  const sealed = device.values.find(needsKey);
  return sealed ? <KeyForm value={sealed} /> : null;
}

function KeyForm({ value }: { value: DeviceValue }): JSX.Element {
  const wrong = useSignal('');
  const given = probeOf(value.probe)?.options?.['key'];
  const keep = (text: string): void => {
    const key = text.replaceAll(/[\s:-]/g, '').toLowerCase();
    wrong.value = KEY.test(key)
      ? ''
      : `A key has 32 digits 0 to 9 and a to f; this one has ${key.length} characters.`;
    if (wrong.value === '')
      void readAs(value, { options: { ...probeOf(value.probe)?.options, key } }, 'Key saved');
  };
  return (
    <Form
      class="key-form"
      onSend={(form) => {
        const input = form.elements.namedItem('key');
        if (input instanceof HTMLInputElement) keep(input.value);
      }}
    >
      <label class="field">
        Its key (its maker or its settings tell it)
        <input
          name="key"
          autocomplete="off"
          spellcheck={false}
          defaultValue={typeof given === 'string' ? given : ''}
          data-testid="bthome-key"
        />
      </label>
      <p class="wrong" role="status">
        {wrong.value}
      </p>
      <Button type="submit">Save the key</Button>
    </Form>
  );
}
