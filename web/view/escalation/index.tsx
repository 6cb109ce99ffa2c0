import { useSignal, type Signal } from '@preact/signals';
import type { ComponentChildren, JSX, TargetedInputEvent } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Broker, EscalationView } from '../../../shared/escalation.ts';
import { busy } from '../../stores/acts.ts';
import {
  changeEscalation,
  escalation,
  loadEscalation,
  tryEscalation,
  TRYING,
} from '../../stores/escalation.ts';
import { NumberField } from '../settings/fields.tsx';
import { Choice } from '../sheet/choice.tsx';

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
        <button
          type="button"
          class="button"
          data-testid="escalation-try"
          disabled={isOnItsWay}
          onClick={() => void tryEscalation()}
        >
          {isOnItsWay ? 'The trial is on its way …' : 'Send a trial notice'}
        </button>
      )}
    </section>
  );
}

type TextProps = { label: string; value: Signal<string>; testid?: string; secret?: boolean };

function Text({ label, value, testid, secret }: TextProps): JSX.Element {
  const rest = {
    autocomplete: 'off',
    value: value.value,
    'data-testid': testid,
    onInput: (event: TargetedInputEvent<HTMLInputElement>): void => {
      value.value = event.currentTarget.value;
    },
  };
  return (
    <label class="field wide">
      {label}
      {secret ? <input type="password" {...rest} /> : <input type="text" {...rest} />}
    </label>
  );
}

type WayProps = {
  title: string;
  /** Where it leads now; null while it is off. */
  to: string | null;
  trouble: string | null;
  testid: string;
  onKeep(): Promise<boolean>;
  onOff(): void;
  children: ComponentChildren;
};

function Way({ title, to, trouble, testid, onKeep, onOff, children }: WayProps): JSX.Element {
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void onKeep();
      }}
    >
      <h3>{title}</h3>
      <p role="status" data-testid={`${testid}-state`}>
        {to === null ? 'Off.' : `On, to ${to}.`}
        {trouble && <strong> The last notice did not get there: {trouble}.</strong>}
      </p>
      <div class="row">{children}</div>
      <div class="row">
        <button type="submit" class="button" data-testid={`${testid}-keep`}>
          {to === null ? 'Switch it on' : 'Change it'}
        </button>
        {to !== null && (
          <button type="button" class="button" data-testid={`${testid}-off`} onClick={onOff}>
            Switch it off
          </button>
        )}
      </div>
    </form>
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
    <Way
      title="Web address (webhook)"
      to={set?.origin ?? null}
      trouble={set?.trouble ?? null}
      testid="webhook"
      onKeep={keep}
      onOff={() => void changeEscalation({ webhook: null })}
    >
      <Text label="Address" value={url} testid="webhook-url" />
      <Text label="Secret that signs it, 16 letters or more" value={secret} testid="webhook-secret" secret />
    </Way>
  );
}

function Mqtt({ set }: { set: EscalationView['mqtt'] }): JSX.Element {
  const url = useSignal('');
  const topic = useSignal(set?.topic ?? 'peelside/alert');
  const version = useSignal<Broker['version']>(set?.version === '3.1.1' ? '3.1.1' : '5');
  const username = useSignal('');
  const password = useSignal('');
  const keep = (): Promise<boolean> =>
    changeEscalation({
      mqtt: {
        url: url.value.trim(),
        topic: topic.value.trim(),
        version: version.value,
        ...(username.value !== '' && { username: username.value }),
        ...(password.value !== '' && { password: password.value }),
      },
    });
  return (
    <Way
      title="MQTT broker"
      to={set && `${set.origin}, topic ${set.topic}`}
      trouble={set?.trouble ?? null}
      testid="mqtt"
      onKeep={keep}
      onOff={() => void changeEscalation({ mqtt: null })}
    >
      <Text label="Address" value={url} testid="mqtt-url" />
      <Text label="Topic" value={topic} />
      <Text label="Name, where it asks for one" value={username} />
      <Text label="Password" value={password} secret />
      <Choice
        legend="MQTT version"
        name="mqtt-version"
        options={[
          ['5', '5'],
          ['3.1.1', '3.1.1'],
        ]}
        value={version.value}
        onChoose={(next) => {
          version.value = next;
        }}
      />
    </Way>
  );
}
