import type { ComponentChildren, JSX } from 'preact';
import type { Route } from '../../lib/router.ts';
import { Button } from '../button/index.tsx';
import { Icon, type IconName } from '../icon/index.tsx';

/** What stands at the head of every page. It knows no store, since the server writes it too. */

/** The pages of the navigation; a new one is one line here and one in `main.tsx`. */
const PAGES: readonly { hash: string; label: string; icon: IconName; pages: readonly Route['page'][] }[] = [
  { hash: '#/live', label: 'Live', icon: 'flame', pages: ['live'] },
  { hash: '#/plan', label: 'Plan', icon: 'list', pages: ['plan', 'stone'] },
  { hash: '#/probes', label: 'Probes', icon: 'probe', pages: ['probes', 'mapping'] },
  { hash: '#/past', label: 'Past', icon: 'past', pages: ['past', 'cook', 'overlay'] },
  { hash: '#/settings', label: 'Settings', icon: 'settings', pages: ['settings'] },
];

export const Top = ({
  page,
  children,
}: {
  page: Route['page'];
  children: ComponentChildren;
}): JSX.Element => (
  <header class="top">
    <span class="brand">peelside</span>
    <nav aria-label="Pages">
      {PAGES.map(({ hash, label, icon, pages }) => (
        <a key={hash} href={hash} aria-current={pages.includes(page) ? 'page' : undefined}>
          <Icon name={icon} size={26} />
          <span>{label}</span>
        </a>
      ))}
    </nav>
    {children}
  </header>
);

export const SoundKey = ({ onUnlock }: { onUnlock?: () => void }): JSX.Element => (
  <Button look="sound" data-testid="sound-unlock" onClick={onUnlock}>
    <Icon name="soundOff" /> <span>Tap to switch sound on</span>
  </Button>
);

type Can = { hasSound: boolean; staysOn: boolean; onOpen?: () => void };

/** Sound and screen in two signs with words behind them. */
export const StatusKey = ({ hasSound, staysOn, onOpen }: Can): JSX.Element => (
  <Button
    look="plain status"
    onClick={onOpen}
    aria-label={`This screen: ${hasSound ? 'sound on' : 'no sound'}, ${staysOn ? 'screen stays on' : 'screen may sleep'}`}
  >
    <Icon name={hasSound ? 'soundOn' : 'soundOff'} />
    <Icon name={staysOn ? 'screen' : 'screenOff'} />
  </Button>
);
