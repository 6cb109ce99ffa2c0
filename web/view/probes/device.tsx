import type { JSX } from 'preact';
import type { ListedDevice } from '../../../shared/api/devices.ts';
import { deviceWords, keyOf, nameOf } from '../../stores/probes/device-words.ts';
import { Icon } from '../icon/index.tsx';
import { Key } from './key.tsx';
import { Lines, isConfirmed } from './lines.tsx';
import { Value } from './value.tsx';

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
