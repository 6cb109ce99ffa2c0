import type { JSX } from 'preact';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { ListedDevice, DeviceValue } from '../../../shared/api/devices.ts';
import { formatAge } from '../../lib/format.ts';
import { give, places, probeOf, readAs } from '../../stores/probes/device-list.ts';
import { formatTenths, isElectrical, keyOf, rawWords } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';
import { ConversionForm } from '../probes-setup/conversion.tsx';
import { Choice } from '../sheet/choice.tsx';

/** Older than this, s, a value is not "now". */
const OLD_SECONDS = 30;

/** One value of a device: what it is, what it says, and whose it is. */
export function Value({ value, device }: { value: DeviceValue; device: ListedDevice }): JSX.Element {
  const { label, celsius, age, quantity } = value;
  const probe = probeOf(value.probe);
  const isOld = age > OLD_SECONDS || device.link === 'lost';
  return (
    <li class={`value-row ${isOld ? 'old' : ''}`} data-testid="value">
      <p class="value-label">
        <strong>{probe?.name ?? label}</strong>
        <span>
          {isElectrical(value) && `${rawWords(value)} · `}
          {formatAge(age)} ago{isOld && ': old'}
        </span>
      </p>
      <p class="value-number" data-testid="reach-value">
        {formatTenths(celsius, unit.value)}
      </p>
      {value.fault !== undefined && (
        <p class="value-fault">
          <Icon name="warning" size={20} /> {textInUnit(value.fault, unit.value)}
        </p>
      )}
      <Fate value={value} />
      {quantity === 'unknown' && value.decoder === null && <Unread value={value} device={device} />}
    </li>
  );
}

/** What can be done with it: a sensor named first where it sends volts or ohms, then one tap. */
function Fate({ value }: { value: DeviceValue }): JSX.Element | null {
  const probe = probeOf(value.probe);
  if (value.quantity === 'junction') return <p class="value-note">The cold junction of a thermocouple.</p>;
  if (isElectrical(value) && !probe?.conversion)
    return (
      <div class="which-sensor" data-testid="which-sensor">
        <p>
          It sends {value.quantity === 'ohm' ? 'ohms' : 'millivolts'}: say of which sensor, and it becomes a
          temperature.
        </p>
        <ConversionForm
          name={keyOf(value)}
          quantity={value.quantity}
          conversion={undefined}
          onKeep={(conversion) => void readAs(value, { conversion }, 'Sensor saved')}
        />
      </div>
    );
  if (value.quantity !== 'celsius' && !isElectrical(value)) return null;
  return (
    <div class="fate">
      <Choice
        legend={probe?.channel == null ? 'Give it to' : 'It measures'}
        name={`give ${keyOf(value)}`}
        options={[...places.value, ['', 'Not used'] as const]}
        value={probe?.channel ?? ''}
        onChoose={(channel) => void give(value, channel || null)}
        testid="give"
      />
    </div>
  );
}

const Unread = ({ value, device }: { value: DeviceValue; device: ListedDevice }): JSX.Element => (
  <p class="value-note">
    <code>{value.raw}</code>
    <a class="button" href={`#/mapping/${encodeURIComponent(device.id)}`}>
      Build a mapping
    </a>
  </p>
);
