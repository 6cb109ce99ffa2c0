import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Device } from '../../../shared/api/access.ts';
import { askCode, code, devices, loadDevices, revoke, who } from '../../stores/paired-devices.ts';
import { Button } from '../button/index.tsx';

/** Lets other devices in, and out again. Nothing where the server is on its own machine only. */
export function Devices(): JSX.Element | null {
  useEffect(() => void loadDevices(), []);
  const me = who.value;
  if (!me?.lan) return null;
  return (
    <section data-testid="devices">
      <h2>Devices</h2>
      {me.right === 'act' ? <Trusted list={devices.value ?? []} /> : <p>This device may look, not act.</p>}
      <p>
        <a href="trust.html">How to trust this server on a tablet</a>
      </p>
    </section>
  );
}

const Trusted = ({ list }: { list: readonly Device[] }): JSX.Element => (
  <>
    <ul class="devices">
      {list.map((device) => (
        <li key={device.id}>
          <span>
            <strong>{device.name}</strong>
            {device.asking ? ' (this one)' : ''}, may {device.right === 'act' ? 'act' : 'look'}, last here{' '}
            {new Date(device.seenAt).toLocaleDateString()}
          </span>
          <Button onClick={() => void revoke(device.id)}>Revoke {device.name}</Button>
        </li>
      ))}
    </ul>
    <div class="row">
      <Button data-testid="code-act" onClick={() => void askCode('act')}>
        Let a device in, to act
      </Button>
      <Button data-testid="code-look" onClick={() => void askCode('look')}>
        Let a device in, to look
      </Button>
    </div>
    <p role="status" data-testid="code">
      {code.value && (
        <>
          Its code: <strong class="code">{code.value.code}</strong>, for {Math.round(code.value.seconds / 60)}{' '}
          minutes, once.
        </>
      )}
    </p>
  </>
);
