import { expect, it } from 'vitest';
import type { Now } from '../../../shared/api/live.ts';
import type { RecordingLine } from '../../../shared/recording.ts';
import { causeOf, hold, HOLD_SECONDS, type Cause, type Shown } from '../../../web/stores/derive/hold.ts';
import { ordering } from '../../../web/stores/derive/calling-alerts.ts';
import { spoken, type Sentence } from '../../../web/stores/derive/headline-sentence.ts';
import { sentence } from '../../../web/stores/derive/sentence.ts';
import { playLive } from '../../support/live-cook.ts';
import { openSession } from '../../support/session.ts';

/** A sentence that came up, with what stood before it, and what people did until then; times in s of the cook. */
type Change = {
  t: number;
  stood: number;
  from: Sentence;
  to: Sentence;
  /** Whether an alert took the whole screen just then. */
  isCalled: boolean;
  done: { t: number; event: string }[];
};

/** Given time to answer after the vents were set, s: as the page says. */
const VENTS_SECONDS = 180;

/** All changes of the headline over a bundled evening, looked at once a second, as a page does. */
async function play(name: string): Promise<Change[]> {
  const bench = openSession();
  const changes: Change[] = [];
  let done: Change['done'] = [];
  let cause: Cause | null = null;
  let shown: Shown | null = null;
  const look = (now: Now): void => {
    const t = now.t ?? 0;
    cause = causeOf(cause, now, '1');
    const next = hold(shown, (at) => sentence(now, 'C', { t: at, lost: null }), t, cause.text);
    if (shown && next.sentence.head !== shown.sentence.head) {
      const isCalled = Math.abs((ordering(now.alerts)?.raisedAt ?? -1e6) - t) < 2;
      changes.push({ t, stood: t - shown.since, from: shown.sentence, to: next.sentence, isCalled, done });
      done = [];
    }
    shown = next;
  };
  const noteDone = (line: RecordingLine): void => {
    if ('event' in line) done.push({ t: line.t, event: line.event });
  };
  await playLive(bench, name, noteDone, () => look(bench.session.now()));
  return changes;
}

const played = new Map<string, Promise<Change[]>>();
function changesOf(name: string): Promise<Change[]> {
  const changes = played.get(name) ?? play(name);
  played.set(name, changes);
  return changes;
}

const EVENINGS = ['good-evening', 'bad-probe', 'fading-fire', 'runaway', 'steel-for-two'];

it.each(EVENINGS)(
  'given %s, a sentence that is not urgent gives way within a minute only to what somebody did or what fills the screen',
  async (name) => {
    const changes = await changesOf(name);
    expect(changes.length).toBeGreaterThan(3);
    const hasty = changes.filter(
      ({ stood, from, to, isCalled, done }) =>
        stood < HOLD_SECONDS &&
        to.tone !== 'urgent' &&
        !isCalled &&
        done.length === 0 &&
        from.head !== 'No reading yet',
    );
    expect(hasty.map(({ t, from, to }) => `${t}: ${spoken(from)} → ${spoken(to)}`)).toEqual([]);
  },
);

it.each(EVENINGS)(
  'given %s, vents that were set are not asked for again within three minutes',
  async (name) => {
    const changes = await changesOf(name);
    const set = changes.flatMap(({ from, done }) =>
      done.filter(({ event }) => event === 'vent').map(({ t }) => ({ t, symbol: from.symbol })),
    );
    const again = changes.filter(({ t, to }) =>
      set.some(
        (vents) =>
          to.symbol === vents.symbol &&
          to.tone !== 'urgent' &&
          t > vents.t &&
          t - vents.t < VENTS_SECONDS &&
          ['close', 'open'].includes(to.symbol),
      ),
    );
    expect(again.map(({ t, from, to }) => `${t}: ${spoken(from)} → ${spoken(to)}`)).toEqual([]);
  },
);
