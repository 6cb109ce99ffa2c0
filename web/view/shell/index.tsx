import type { ComponentChildren, JSX } from 'preact';
import { route } from '../../lib/router.ts';
import { soundState, unlockSound, play } from '../../lib/sound.ts';
import { wakeState } from '../../lib/wake-state.ts';
import { now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { Icon } from '../icon/index.tsx';
import { Lost } from '../lost/index.tsx';
import { Announcer } from '../headline/index.tsx';
import { Rehearsal } from '../rehearsal/index.tsx';
import { SoundKey, StatusKey, Top } from './top.tsx';

/** Frame of every page: navigation, what this screen can do, and the bands that must never be missed. */
export function Shell({ children }: { children: ComponentChildren }): JSX.Element {
  return (
    <div class={`shell on-${route.value.page}`}>
      {route.value.page === 'live' && <ToKeys />}
      <Top page={route.value.page}>
        <Sound />
        <Status />
      </Top>
      <Rehearsal />
      <Lost />
      <NotKept />
      <main>
        {children}
        <Announcer />
      </main>
    </div>
  );
}

/** Seen once it has the focus: who goes by Tab need not pass everything to the key for what is due. */
const ToKeys = (): JSX.Element => (
  <button
    type="button"
    class="visually-hidden to-keys"
    data-testid="to-keys"
    onClick={() => document.querySelector<HTMLElement>('.action-key')?.focus()}
  >
    To the first key
  </button>
);

function Sound(): JSX.Element | null {
  if (soundState.value !== 'locked') return null;
  return <SoundKey onUnlock={() => void unlockSound().then(() => play('prompt'))} />;
}

const openStatus = (): void => {
  sheet.value = { kind: 'status' };
};

const Status = (): JSX.Element => (
  <StatusKey hasSound={soundState.value === 'on'} staysOn={wakeState.value.held} onOpen={openStatus} />
);

function NotKept(): JSX.Element | null {
  const reason = now.value?.notKept;
  if (!reason) return null;
  return (
    <p class="band-warning" role="alert" data-testid="not-kept">
      <Icon name="warning" size={30} />
      <strong>Not being saved:</strong> {reason}
    </p>
  );
}
