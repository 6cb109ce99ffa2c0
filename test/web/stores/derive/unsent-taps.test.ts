import { expect, it } from 'vitest';
import { postSpot } from '../../../../shared/api/api.ts';
import { cookEvent, isTap } from '../../../../shared/event.ts';
import {
  bodyOf,
  isHeld,
  stillWorth,
  waitingWords,
  withTaps,
  type PlainEvent,
  type Unsent,
} from '../../../../web/stores/derive/unsent-taps.ts';
import { sentence } from '../../../../web/stores/derive/sentence.ts';
import { alert, makeNow, pizza } from '../../support/now.ts';

const HOUR = 3600_000;
const tap = (at: number, over: { event?: PlainEvent; pizza?: string; note?: string } = {}): Unsent => ({
  id: 'tap-0a1b2c3d',
  at,
  label: 'Salami launched',
  event: 'launch',
  ...over,
});

it('given taps that wait, sends them in their order and lets go what is of another evening', () => {
  const now = 5 * HOUR;
  const taps = [tap(now - 10_000), tap(now - 20_000), tap(now - 2 * HOUR)];
  expect(stillWorth(taps, now).map(({ at }) => now - at)).toEqual([20_000, 10_000]);
});

it('given a tap, the server takes it with its id and how long ago it was', () => {
  const launch = bodyOf(tap(100_000, { pizza: 'p2' }), 140_000);
  expect(cookEvent.parse(launch.body)).toMatchObject({
    event: 'launch',
    pizza: 'p2',
    id: 'tap-0a1b2c3d',
    ago: 40,
  });
  const vents = bodyOf(tap(100_000, { event: 'vent', note: 'half open' }), 140_000);
  expect(cookEvent.parse(vents.body)).toEqual({
    event: 'vent',
    note: 'half open',
    id: 'tap-0a1b2c3d',
    ago: 40,
  });
});

it('given a look that waits, the server takes it where looks are posted, with its id and how long ago it was', () => {
  const spot = { channel: 'stone', celsius: 251, surface: 'cordierite', emissivitySet: 0.95, reflected: 20 };
  const { path, body } = bodyOf({ id: 'tap-0a1b2c3d', at: 100_000, label: 'Stone 251 °C', spot }, 160_000);
  expect(path).toBe('/api/spot');
  expect(postSpot.parse(body)).toEqual({ ...spot, id: 'tap-0a1b2c3d', ago: 60 });
});

it('given taps that wait, says how many and which; given none, nothing', () => {
  expect(waitingWords([])).toBe('');
  expect(waitingWords([{ label: 'Stone 251 °C' }])).toBe('1 tap waits for the server: Stone 251 °C.');
  expect(waitingWords([{ label: 'Vents half open' }, { label: 'Salami launched' }])).toBe(
    '2 taps wait for the server: Vents half open, Salami launched.',
  );
});

it("given an id that is not a tap's, the server does not take it for one", () => {
  expect([undefined, 'e12', 'tap-', 'tap-a b c d e'].map(isTap)).toEqual([false, false, false, false]);
  expect(isTap('tap-6f9619ff-8b86-4011-b42d-00c04fc964ff')).toBe(true);
});

it.each([
  [{ event: 'launch', pizza: 'p1' }, true],
  [{ event: 'off', pizza: 'p1' }, false],
  [{ event: 'launch', pizza: 'p2' }, false],
  [{ event: 'launch' }, false],
  [{ event: 'vent' }, false],
] as const)('given a launch of a pizza that waits, %o waits already: %s', (another, held) => {
  expect(
    isHeld([tap(0, { pizza: 'p1' }), tap(0), tap(0, { event: 'vent' })], { label: '', ...another }),
  ).toBe(held);
});

/** Ada lies on the stone since 3400 s, her turn is due; Ben waits. */
const turnDue = makeNow({
  pizzas: [pizza('p1', { name: 'Ada', launchedAt: 3400 }), pizza('p2', { name: 'Ben' })],
  onStone: [{ pizza: 'p1', launchedAt: 3400, turnAt: 3590, offAt: 3850 }],
  alerts: [alert('turn-due', { pizza: 'p1' })],
  state: 'baking',
});
const headOf = (taps: Unsent[], lost: number | null): string =>
  sentence(withTaps(turnDue, taps), 'C', { t: 3600, lost }).head;

it('given a turn that waits for the server, the page goes on to the off, and calls no turn', () => {
  const turned = tap(0, { event: 'turn', pizza: 'p1' });
  expect(headOf([], 10)).toBe('Turn Ada');
  expect(headOf([turned], 10)).toBe('Take Ada off');
  expect(headOf([turned], null)).toBe('Take Ada off');
});

it('given an off that waits for the server, nothing lies on the stone any more', () => {
  const { onStone, pizzas } = withTaps(turnDue, [tap(0, { event: 'off', pizza: 'p1' })]);
  expect(onStone).toEqual([]);
  expect(pizzas[0]?.offAt).not.toBeNull();
});

it('given taps of other things, the document is as it was', () => {
  expect(withTaps(turnDue, [tap(0, { event: 'vent' })])).toBe(turnDue);
});
