import { signal, useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Probe } from '../../../shared/probe.ts';
import type { ListedDevice, Tried } from '../../../shared/api/devices.ts';
import { addProbe, lookAt, probes, tryRead } from '../../stores/probes/device-list.ts';
import {
  FORMAT_WORDS,
  deviceIdOf,
  formatTenths,
  isElectrical,
  rawWords,
} from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { Icon } from '../icon/index.tsx';
import { SelectField } from '../sheet/fields.tsx';
import { ByHand } from './by-hand.tsx';

/** Ports whose lines a person has said are rightly read. */
const confirmed = signal<ReadonlySet<string>>(new Set());

const ofPort = (port: string): Probe[] => probes.value.filter((probe) => deviceIdOf(probe.address) === port);

export const isConfirmed = (device: ListedDevice): boolean =>
  confirmed.value.has(device.id) || ofPort(device.id).length > 0;

/** A port before its values can be given: listen to it, see its lines, say that they are rightly read. */
export function Lines({ device }: { device: ListedDevice }): JSX.Element | null {
  if (isConfirmed(device)) return device.lines?.format === null ? <Unreadable device={device} /> : null;
  if (!device.lines) return <Listen device={device} />;
  if (device.lines.format === null) return <Unreadable device={device} />;
  return <Confirm device={device} />;
}

const Listen = ({ device }: { device: ListedDevice }): JSX.Element =>
  device.source === 'mqtt' ? (
    <p role="status">Waiting for its first message …</p>
  ) : (
    <div class="listen">
      {device.link === 'seen' ? (
        <>
          <p>Opening a port restarts some boards, so it is left alone until you say.</p>
          <Button look="strong" data-testid="listen" onClick={() => void lookAt(device)}>
            Listen to it
          </Button>
        </>
      ) : (
        <p role="status">Listening for its first lines, at one rate after the other …</p>
      )}
      <ByHand device={device} />
    </div>
  );

const Shown = ({ device }: { device: ListedDevice }): JSX.Element => (
  <pre class="lines" aria-label="Its last lines">
    {device.lines?.lines.slice(-4).join('\n')}
  </pre>
);

const Unreadable = ({ device }: { device: ListedDevice }): JSX.Element => (
  <div class="listen">
    <p>
      <Icon name="warning" size={22} /> No value was found in{' '}
      {device.source === 'mqtt' ? 'what it sends' : 'its lines'}. It should send{' '}
      {device.source === 'mqtt'
        ? 'a number, or JSON such as {"stone":270.5}'
        : 'a line a reading, such as stone=270.5 dome=247.5'}
      .
    </p>
    <Shown device={device} />
    <ByHand device={device} />
  </div>
);

const PLAIN_UNITS = [
  ['C', '°C'],
  ['F', '°F'],
  ['K', 'K'],
  ['mV', 'mV'],
  ['ohm', 'Ω'],
] as const;

/** The last line read with the unit that is being chosen. */
function useRead(device: ListedDevice, options: Record<string, unknown>): Tried['values'] {
  const read = useSignal<Tried['values']>([]);
  const line = device.lines?.lines.at(-1) ?? '';
  useEffect(() => {
    const off = new AbortController();
    const ask = async (): Promise<void> => {
      const frame =
        device.source === 'mqtt'
          ? { source: 'mqtt' as const, topic: device.id, payload: line }
          : { source: 'serial' as const, port: device.id, line };
      const { values } = await tryRead({ frame, reads: { options } }, off.signal);
      if (!off.signal.aborted) read.value = values;
    };
    void ask();
    return () => off.abort();
  }, [line, device.id, JSON.stringify(options)]);
  return read.value;
}

function Confirm({ device }: { device: ListedDevice }): JSX.Element | null {
  const plain = useSignal('C');
  const columns = device.lines?.columns;
  const options = { ...(plain.value !== 'C' && { unit: plain.value }), ...(columns && { columns }) };
  const values = useRead(device, options);
  if (!device.lines?.format) return null;
  const accept = (): void => {
    confirmed.value = new Set([...confirmed.value, device.id]);
    const address =
      device.source === 'mqtt'
        ? { source: 'mqtt' as const, topic: device.id }
        : { source: 'serial' as const, port: device.id };
    // What is usual needs no keeping.
    if (Object.keys(options).length > 0)
      void addProbe({ channel: null, address, options }, 'Reading format saved');
  };
  return (
    <div class="confirm" data-testid="confirm-lines">
      <p>
        <strong>
          {device.lines.isSure ? 'It sends ' : 'It seems to send '}
          {FORMAT_WORDS[device.lines.format]}.
        </strong>{' '}
        Is this read correctly?
      </p>
      <Shown device={device} />
      <ul class="read-so">
        {values.map((value) => (
          <li key={value.part}>
            <span>{value.part || 'The value'}</span>{' '}
            <strong>{isElectrical(value) ? rawWords(value) : formatTenths(value.celsius, unit.value)}</strong>
          </li>
        ))}
      </ul>
      <div class="row">
        <SelectField
          label="Numbers without a unit are"
          options={PLAIN_UNITS}
          bind={plain}
          testid="plain-unit"
        />
        <Button look="strong" data-testid="confirm" onClick={accept}>
          <Icon name="check" /> That is right
        </Button>
      </div>
      <ByHand device={device} />
    </div>
  );
}
