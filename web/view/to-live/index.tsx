import type { JSX } from 'preact';
import { dueCount } from '../../lib/format.ts';
import { distinctComputed } from '../../lib/distinct-computed.ts';
import { route } from '../../lib/router.ts';
import { onStone, type OnStone } from '../../stores/derive/pizza-countdowns.ts';
import { cookTime, hasCook, now } from '../../stores/live.ts';
import { Icon } from '../icon/index.tsx';

const wordsOf = ({ turnIn, offIn }: OnStone): string =>
  turnIn === null ? `off ${dueCount(offIn)}` : `turn ${dueCount(turnIn)}`;

const shown = distinctComputed(() => {
  const document = now.value;
  if (!document?.cook || route.value.page === 'live') return null;
  const [first, ...others] = onStone(document, cookTime.value ?? 0);
  if (!first) return { name: '', words: '', isLate: false };
  const more = others.length > 0 ? ` (and ${others.length} more)` : '';
  return {
    name: `${first.name}${more}`,
    words: wordsOf(first),
    isLate: (first.turnIn ?? first.offIn) < 0,
  };
});

/** On every other page: what lies on the stone and when it wants a hand, and the way back, wherever the page was scrolled to. */
export function ToLive(): JSX.Element | null {
  if (!hasCook.value || !shown.value) return null;
  const { name, words, isLate } = shown.value;
  return (
    <a class={`to-live ${isLate ? 'late' : ''}`} href="#/live" data-testid="to-live">
      <Icon name="flame" size={26} />
      {words ? (
        <span>
          <bdi>{name}</bdi> <strong>{words}</strong>
        </span>
      ) : (
        <span>Live</span>
      )}
    </a>
  );
}
