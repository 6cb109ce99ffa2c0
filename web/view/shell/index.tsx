import type { ComponentChildren, JSX } from 'preact';
import { route, type Route } from '../../lib/router.ts';
import { soundState, unlockSound, play } from '../../lib/sound.ts';
import { wakeState } from '../../lib/wake-state.ts';
import { now } from '../../stores/live.ts';
import { sheet } from '../../stores/screen.ts';
import { Icon, type IconName } from '../icon/index.tsx';
import { Lost } from '../lost/index.tsx';
import { Announcer } from '../headline/index.tsx';
import { Rehearsal } from '../rehearsal/index.tsx';

/** The pages of the navigation; a new one is one line here and one in `main.tsx`. */
const PAGES: readonly { hash: string; label: string; icon: IconName; pages: readonly Route['page'][] }[] = [
  { hash: '#/live', label: 'Live', icon: 'flame', pages: ['live'] },
  { hash: '#/plan', label: 'Plan', icon: 'list', pages: ['plan', 'stone'] },
  { hash: '#/probes', label: 'Probes', icon: 'probe', pages: ['probes', 'mapping'] },
  { hash: '#/past', label: 'Past', icon: 'past', pages: ['past', 'cook', 'overlay'] },
  { hash: '#/settings', label: 'Settings', icon: 'settings', pages: ['settings'] },
];

/** Frame of every page: navigation, what this screen can do, and the bands that must never be missed. */
export function Shell({ children }: { children: ComponentChildren }): JSX.Element {
  return (
    <div class={`shell on-${route.value.page}`}>
      <header class="top">
        <span class="brand">peelside</span>
        <nav aria-label="Pages">
          {PAGES.map(({ hash, label, icon, pages }) => (
            <a key={hash} href={hash} aria-current={pages.includes(route.value.page) ? 'page' : undefined}>
              <Icon name={icon} size={26} />
              <span>{label}</span>
            </a>
          ))}
        </nav>
        <Sound />
        <Status />
      </header>
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

function Sound(): JSX.Element | null {
  if (soundState.value !== 'locked') return null;
  const unlock = (): void => {
    void unlockSound().then(() => play('prompt'));
  };
  return (
    <button type="button" class="button sound" data-testid="sound-unlock" onClick={unlock}>
      <Icon name="soundOff" /> <span>Tap to switch sound on</span>
    </button>
  );
}

/** Sound and screen in two signs with words behind them. */
function Status(): JSX.Element {
  const sound = soundState.value === 'on' ? 'sound on' : 'no sound';
  const screen = wakeState.value.held ? 'screen stays on' : 'screen may sleep';
  const open = (): void => {
    sheet.value = { kind: 'status' };
  };
  return (
    <button
      type="button"
      class="button plain status"
      onClick={open}
      aria-label={`This screen: ${sound}, ${screen}`}
    >
      <Icon name={soundState.value === 'on' ? 'soundOn' : 'soundOff'} />
      <Icon name={wakeState.value.held ? 'screen' : 'screenOff'} />
    </button>
  );
}

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
