import { useSignal } from '@preact/signals';
import type { ComponentChildren, JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { EscalationView } from '../../../shared/api/escalation.ts';
import { busy } from '../../stores/act/acts.ts';
import {
  changeEscalation,
  escalation,
  loadEscalation,
  tryEscalation,
  TRYING,
} from '../../stores/escalation.ts';
import { Button, Form } from '../button/index.tsx';
import { LoginFields, useLogin } from '../broker/login.tsx';
import { NumberField } from '../settings/setting-fields.tsx';
import { TextField } from '../sheet/fields.tsx';

/** Where urgent alerts go that nobody on a page has seen. */
export function Escalation(): JSX.Element | null {
  useEffect(() => void loadEscalation(), []);
  const set = escalation.value;
  if (!set) return null;
  // A second tap would be dropped: better that it can't be given.
  const isOnItsWay = busy.value.has(TRYING);
  return (
    <section data-testid="escalation">
      <h2>When nobody sees an alert</h2>
      <p>
        An urgent alert that no screen has seen can go further: to a web address or an MQTT broker of yours.
      </p>
      <NumberField
        label="After so many seconds"
        value={set.afterSeconds}
        low={10}
        high={1800}
        onKeep={(seconds) => changeEscalation({ afterSeconds: Math.round(seconds) })}
      />
      <Webhook set={set.webhook} />
      <Mqtt set={set.mqtt} />
      {(set.webhook ?? set.mqtt) && (
        <Button data-testid="escalation-try" disabled={isOnItsWay} onClick={() => void tryEscalation()}>
          {isOnItsWay ? 'The test is on its way …' : 'Send a test notice'}
        </Button>
      )}
    </section>
  );
}

type TargetFormProps = {
  title: string;
  /** Where it leads now; null while it is off. */
  to: string | null;
  error: string | null;
  testid: string;
  onKeep(): Promise<boolean>;
  onOff(): void;
  children: ComponentChildren;
};

function TargetForm({ title, to, error, testid, onKeep, onOff, children }: TargetFormProps): JSX.Element {
  return (
    <Form onSend={() => void onKeep()}>
      <h3>{title}</h3>
      <p role="status" data-testid={`${testid}-state`}>
        {to === null ? 'Off.' : `On, to ${to}.`}
        {error && <strong> The last notice did not get there: {error}.</strong>}
      </p>
      <div class="row">{children}</div>
      <div class="row">
        <Button type="submit" data-testid={`${testid}-keep`}>
          {to === null ? 'Switch it on' : 'Change it'}
        </Button>
        {to !== null && (
          <Button data-testid={`${testid}-off`} onClick={onOff}>
            Switch it off
          </Button>
        )}
      </div>
    </Form>
  );
}

function Webhook({ set }: { set: EscalationView['webhook'] }): JSX.Element {
  const url = useSignal('');
  const secret = useSignal('');
  const keep = (): Promise<boolean> =>
    changeEscalation({
      webhook: { url: url.value.trim(), ...(secret.value !== '' && { secret: secret.value }) },
    });
  return (
    <TargetForm
      title="Web address (webhook)"
      to={set?.origin ?? null}
      error={set?.error ?? null}
      testid="webhook"
      onKeep={keep}
      onOff={() => void changeEscalation({ webhook: null })}
    >
      <TextField label="Address" bind={url} testid="webhook-url" wide />
      <TextField
        label="Secret that signs it, 16 letters or more"
        bind={secret}
        testid="webhook-secret"
        kind="password"
        wide
      />
    </TargetForm>
  );
}

function Mqtt({ set }: { set: EscalationView['mqtt'] }): JSX.Element {
  const login = useLogin(set && { version: set.version });
  const topic = useSignal(set?.topic ?? 'peelside/alert');
  return (
    <TargetForm
      title="MQTT message"
      to={set && `${set.origin}, topic ${set.topic}`}
      error={set?.error ?? null}
      testid="mqtt"
      onKeep={() => changeEscalation({ mqtt: { ...login.access(), topic: topic.value.trim() } })}
      onOff={() => void changeEscalation({ mqtt: null })}
    >
      <LoginFields login={login} testid="mqtt" />
      <TextField label="Topic" bind={topic} wide />
    </TargetForm>
  );
}
