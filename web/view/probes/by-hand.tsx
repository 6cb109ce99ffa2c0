import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { ListedDevice } from '../../../shared/api/devices.ts';
import { addProbe, lookAt } from '../../stores/probes/device-list.ts';
import { numberOf } from '../../stores/probes/device-words.ts';
import { Button, Form } from '../button/index.tsx';
import { TextField, SelectField } from '../sheet/fields.tsx';

/** Usual ones; others are found by trying, too. */
const RATES = ['9600', '19200', '38400', '57600', '115200', '230400'].map((rate) => [rate, rate] as const);
const TYPES = [
  ['s16', 'whole number with sign'],
  ['u16', 'whole number'],
  ['float32', 'float, two registers'],
] as const;
const SCALES = [
  ['0.1', 'tenths of a degree'],
  ['0.01', 'hundredths of a degree'],
  ['1', 'whole degrees'],
] as const;

/** What a port cannot tell by itself: its rate, or that it is a Modbus module, which speaks only when it is asked. */
export const ByHand = ({ device }: { device: ListedDevice }): JSX.Element | null =>
  device.source === 'serial' ? (
    <details class="more">
      <summary>Set its rate, or ask it as a Modbus module</summary>
      <Rate device={device} />
      <Modbus device={device} />
    </details>
  ) : null;

function Rate({ device }: { device: ListedDevice }): JSX.Element {
  const rate = useSignal(String(device.rate ?? 115_200));
  const keep = async (): Promise<void> => {
    const options = { rate: Number(rate.value) };
    await lookAt(device, options);
    await addProbe({ channel: null, address: { source: 'serial', port: device.id }, options }, 'Rate saved');
  };
  return (
    <div class="row">
      <SelectField label="Bits a second" options={RATES} bind={rate} />
      <Button onClick={() => void keep()}>Read at this rate</Button>
    </div>
  );
}

function Modbus({ device }: { device: ListedDevice }): JSX.Element {
  const rate = useSignal('9600');
  const unit = useSignal('1');
  const registers = useSignal('input');
  const first = useSignal('0');
  const count = useSignal('2');
  const type = useSignal('s16');
  const scale = useSignal('0.1');
  const ask = (): void => {
    const [from, many] = [numberOf(first.value) ?? 0, numberOf(count.value) ?? 1];
    const step = type.value === 'float32' ? 2 : 1;
    const values = Array.from({ length: Math.floor(many / step) }, (_, i) => ({
      part: String(i + 1),
      register: from + i * step,
      type: type.value,
      scale: type.value === 'float32' ? 1 : Number(scale.value),
    }));
    const modbus = { unit: numberOf(unit.value) ?? 1, registers: registers.value, first: from, count: many };
    const options = { rate: Number(rate.value), modbus, values };
    const address = { source: 'serial' as const, port: device.id };
    void addProbe({ channel: null, address, decoder: 'modbus', options }, 'Module saved');
  };
  return (
    <Form onSend={() => ask()}>
      <h4>Modbus RTU module</h4>
      <div class="row">
        <SelectField label="Bits a second" options={RATES} bind={rate} />
        <TextField label="Address of the module" bind={unit} kind="decimal" />
        <SelectField
          label="Registers"
          options={[
            ['input', 'input'],
            ['holding', 'holding'],
          ]}
          bind={registers}
        />
        <TextField label="First, counted from 0" bind={first} kind="decimal" />
        <TextField label="How many" bind={count} kind="decimal" />
        <SelectField label="A value is a" options={TYPES} bind={type} />
        {type.value !== 'float32' && <SelectField label="in" options={SCALES} bind={scale} />}
      </div>
      <Button type="submit">Ask the module</Button>
    </Form>
  );
}
