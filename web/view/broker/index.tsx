import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { BrokerView } from '../../../shared/api/broker.ts';
import { broker, changeBroker, loadBroker } from '../../stores/probes/broker.ts';
import { Button, Form } from '../button/index.tsx';
import { TextField } from '../sheet/fields.tsx';
import { LoginFields, useLogin } from './login.tsx';

/** The user's own MQTT broker, whose topics can be probes. */
export function Broker(): JSX.Element | null {
  useEffect(() => void loadBroker(), []);
  const set = broker.value;
  if (!set) return null;
  return (
    <section data-testid="broker">
      <h2>Your MQTT broker</h2>
      <p>
        Boards that publish what they measure to a broker of yours can be probes: give its address here, then
        listen to a topic on the Probes page.
      </p>
      <p role="status" data-testid="broker-state">
        {set.access === null ? 'None is set up.' : `It is ${set.access.origin}.`}
      </p>
      <Access key={set.access?.origin} access={set.access} />
      {set.access !== null && <Publishing key={set.publish?.prefix} publish={set.publish} />}
    </section>
  );
}

function Access({ access }: { access: BrokerView['access'] }): JSX.Element {
  const login = useLogin(access);
  return (
    <Form onSend={() => void changeBroker({ access: login.access() })}>
      <div class="row">
        <LoginFields login={login} testid="broker" />
      </div>
      <div class="row">
        <Button type="submit" data-testid="broker-keep">
          {access === null ? 'Use this broker' : 'Change it'}
        </Button>
        {access !== null && (
          <Button data-testid="broker-off" onClick={() => void changeBroker({ access: null })}>
            Take it away
          </Button>
        )}
      </div>
    </Form>
  );
}

/** Whether, and below which topic, this peelside publishes what it sees. */
function Publishing({ publish }: { publish: BrokerView['publish'] }): JSX.Element {
  const prefix = useSignal(publish?.prefix ?? 'peelside');
  return (
    <Form onSend={() => void changeBroker({ publish: { prefix: prefix.value.trim() } })}>
      <h3>Publish to it</h3>
      <p role="status" data-testid="publish-state">
        {publish === null
          ? 'Off. Readings, state, forecast and alerts can be published there for other programs of yours.'
          : `On, below ${publish.prefix}.`}
        {publish?.error != null && <strong> {publish.error}</strong>}
      </p>
      <div class="row">
        <TextField
          label="Below this topic; each peelside its own"
          bind={prefix}
          testid="publish-prefix"
          wide
        />
      </div>
      <div class="row">
        <Button type="submit" data-testid="publish-keep">
          {publish === null ? 'Switch it on' : 'Change it'}
        </Button>
        {publish !== null && (
          <Button data-testid="publish-off" onClick={() => void changeBroker({ publish: null })}>
            Switch it off
          </Button>
        )}
      </div>
    </Form>
  );
}
