import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { BrokerAccess } from '../../../shared/api/broker.ts';
import { TextField } from '../sheet/fields.tsx';
import { Choice } from '../sheet/choice.tsx';

type Login = {
  url: Signal<string>;
  version: Signal<BrokerAccess['version']>;
  username: Signal<string>;
  password: Signal<string>;
  ca: Signal<string>;
  /** What is typed so far, as the server takes it: what is left empty is left out. */
  access(): BrokerAccess;
};

type Known = { origin?: string; version: string; username?: string | null };

/** How a broker is reached, while it is typed; what is set already stands there, apart from secrets. */
export function useLogin(known: Known | null): Login {
  const url = useSignal(known?.origin ?? '');
  const version = useSignal<BrokerAccess['version']>(known?.version === '3.1.1' ? '3.1.1' : '5');
  const username = useSignal(known?.username ?? '');
  const password = useSignal('');
  const ca = useSignal('');
  const access = (): BrokerAccess => ({
    url: url.value.trim(),
    version: version.value,
    ...(username.value !== '' && { username: username.value }),
    ...(password.value !== '' && { password: password.value }),
    ...(ca.value.trim() !== '' && { ca: ca.value }),
  });
  return { url, version, username, password, ca, access };
}

type Props = { login: Login; testid: string };

export const LoginFields = ({
  login: { url, version, username, password, ca },
  testid,
}: Props): JSX.Element => (
  <>
    <TextField label="Address: mqtt://…, with TLS mqtts://…" bind={url} testid={`${testid}-url`} wide />
    <TextField label="Name, where it asks for one" bind={username} wide />
    <TextField label="Password" bind={password} kind="password" wide />
    <Choice
      legend="MQTT version"
      name={`${testid}-version`}
      options={[
        ['5', '5'],
        ['3.1.1', '3.1.1'],
      ]}
      bind={version}
    />
    {url.value.trim().startsWith('mqtts:') && (
      <label class="field wide">
        Certificate of the authority that made the broker’s, where it is one of your own
        <textarea
          rows={4}
          spellcheck={false}
          placeholder="-----BEGIN CERTIFICATE-----"
          value={ca.value}
          onInput={(event) => {
            ca.value = event.currentTarget.value;
          }}
        />
      </label>
    )}
  </>
);
