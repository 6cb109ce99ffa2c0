import type { JSX } from 'preact';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { deviceWords, keyOf, nameOf } from '../../stores/probes/device-words.ts';
import { Icon } from '../icon/index.tsx';
import { Lines, isConfirmed } from './lines.tsx';
import { Value } from './value.tsx';
import { useSignal } from '@preact/signals';
import { probeOf, readAs } from '../../stores/probes/device-list.ts';
import { Button, Form } from '../button/index.tsx';

const KEY = /^[0-9a-f]{32}$/i;

/** An encrypted advertisement, and one whose key did not open it. */
const needsKey = ({ decoder, fault }: DeviceValue): boolean =>
  decoder === 'bthome' && fault !== undefined && /encrypted|the key/.test(fault);

/** Where the key of an encrypted BTHome device is typed in. */
function Key({ device }: { device: ListedDevice }): JSX.Element | null {
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

/** One device or port with the values that it says now. */
export function Device({ device }: { device: ListedDevice }): JSX.Element {
  const isAsked = device.source !== 'ble' && !isConfirmed(device);
  return (
    <li class={`device ${device.link}`} data-testid="device">
      <Head device={device} />
      {device.source !== 'ble' && <Lines device={device} />}
      <Key device={device} />
      {!isAsked && (
        <ul class="values">
          {device.values.map((value) => (
            <Value key={keyOf(value)} value={value} device={device} />
          ))}
        </ul>
      )}
      {device.values.length === 0 && device.source === 'ble' && !device.problem && (
        <p>{device.link === 'connected' ? 'Waiting for its first value …' : 'It is being connected to …'}</p>
      )}
    </li>
  );
}

const Head = ({ device }: { device: ListedDevice }): JSX.Element => (
  <>
    <h3>{nameOf(device)}</h3>
    <p class="device-words">
      {device.link === 'lost' && <Icon name="lost" size={20} />}
      {deviceWords(device).join(' · ')}
    </p>
    {device.problem && (
      <p class="device-problem">
        <Icon name="warning" size={22} />
        <span>
          {device.problem} {device.remedy}
        </span>
      </p>
    )}
  </>
);

/** Something in reach that nothing here reads. */
export const OtherDevice = ({ device }: { device: ListedDevice }): JSX.Element => (
  <li class="other-device">
    <span>
      <strong>{nameOf(device)}</strong> {deviceWords(device).slice(1).join(' · ')}
    </span>
    <a
      class="button"
      href={`#/mapping/${encodeURIComponent(device.id)}`}
      aria-label={`Build a mapping for ${nameOf(device)}`}
    >
      Build a mapping
    </a>
  </li>
);
