import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import { textInUnit } from '../../../shared/text/in-unit.ts';
import type { ListedDevice } from '../../../shared/api/devices.ts';
import { choices, deviceList, watchDevices, lookAt } from '../../stores/probes/device-list.ts';
import { isThermometer } from '../../stores/probes/device-words.ts';
import { unit } from '../../stores/settings.ts';
import { Icon } from '../icon/index.tsx';
import { Device, OtherDevice } from './device.tsx';
import { Mine } from './mine.tsx';
import { useSignal } from '@preact/signals';
import { Button, Form } from '../button/index.tsx';
import { TextField } from '../sheet/fields.tsx';

/** A topic of the user's broker to listen to for a minute; what comes is listed beside what is in reach. */
function Topic(): JSX.Element | null {
  const topic = useSignal('');
  const source = deviceList.value?.sources.find((source) => source.source === 'mqtt');
  if (!source) return null;
  if (source.state === 'off')
    return (
      <p class="row">
        Boards that publish to an MQTT broker:
        <a class="button" href="#/settings">
          set its address first
        </a>
      </p>
    );
  return (
    <Form class="row topic" onSend={() => void lookAt({ source: 'mqtt', id: topic.value.trim() })}>
      <TextField
        label="Topic of the MQTT broker; # for all below it"
        bind={topic}
        wide
        hint="grill/#"
        testid="topic"
      />
      <Button type="submit" data-testid="listen-topic" disabled={topic.value.trim() === ''}>
        Listen to it
      </Button>
    </Form>
  );
}

/** What measures, what is in reach, and what stands in the way. */
export function ProbesPage(): JSX.Element {
  useEffect(watchDevices, []);
  const view = deviceList.value;
  return (
    <div class="page probes">
      <header class="page-head">
        <h1>Probes</h1>
        <a class="button" href="#/mapping">
          <Icon name="plus" /> Build a mapping
        </a>
      </header>
      {view ? (
        <>
          <Transports />
          <Mine />
          <DevicesInRange devices={view.devices} />
        </>
      ) : (
        <p role="status">Looking for what is in reach …</p>
      )}
      <Rules />
    </div>
  );
}

const TRANSPORT: Record<string, string> = { ble: 'Bluetooth', serial: 'Serial ports', mqtt: 'MQTT' };

/** Why a transport cannot be used, with the exact remedy. */
function Transports(): JSX.Element {
  const failed = (deviceList.value?.sources ?? []).filter((source) => source.problem !== undefined);
  return (
    <div role="status">
      {failed.map(({ source, problem, remedy }) => (
        <section class="reach-problem" key={source} data-testid={`problem-${source}`}>
          <Icon name="warning" size={30} />
          <div>
            <strong>
              {TRANSPORT[source] ?? source}: {problem}
            </strong>
            {remedy && <p>{remedy}</p>}
          </div>
        </section>
      ))}
    </div>
  );
}

function DevicesInRange({ devices }: { devices: ListedDevice[] }): JSX.Element {
  const thermometers = devices.filter(isThermometer);
  const others = devices.filter((device) => !isThermometer(device));
  return (
    <section>
      <h2>In reach</h2>
      {thermometers.length === 0 && (
        <p>
          No thermometer is heard yet. Switch it on and come near with it; a board on a cable is seen when it
          is plugged in.
        </p>
      )}
      <ul class="devices">
        {thermometers.map((device) => (
          <Device key={device.source + device.id} device={device} />
        ))}
      </ul>
      <Topic />
      {others.length > 0 && (
        <details class="more">
          <summary>Other Bluetooth devices in reach: {others.length}</summary>
          <p>Nothing here reads these by itself. If one is a thermometer, build a mapping for it.</p>
          <ul class="others">
            {others.map((device) => (
              <OtherDevice key={device.id} device={device} />
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

/** The rules of trust, as the server states them. */
const Rules = (): JSX.Element | null =>
  choices.value && (
    <details class="more">
      <summary>When a reading is not trusted</summary>
      <dl class="rules">
        {choices.value.rules.map(({ rule, quality, when }) => (
          <div key={rule}>
            <dt>
              {rule} <span>({quality === 'bad' ? 'no value' : 'doubtful'})</span>
            </dt>
            <dd>{textInUnit(when, unit.value)}</dd>
          </div>
        ))}
      </dl>
      <p>A doubtful reading is shown and never makes an alert. When readings stay away, that may.</p>
    </details>
  );
