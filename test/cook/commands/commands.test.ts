import { beforeEach, describe, expect, it } from 'vitest';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import { listCooks } from '../../../server/cook/history/cook-history.ts';
import { openSession, pass as passWith, type Bench } from '../../support/session.ts';

let bench: Bench;
const pizzas = (): Pizza[] => bench.session.cook?.pizzas ?? [];
const pizza = (id: string): Pizza => {
  const found = pizzas().find((p) => p.id === id);
  if (!found) throw new Error(`no pizza ${id}`);
  return found;
};
const add = (name: string): Promise<Pizza> =>
  bench.commands.addPizza({ name, eater: '', likes: '', turnAfter: 210, offAfter: 450 });
/** Seconds go by with a steady stone. */
const pass = (seconds: number): void => passWith(bench, seconds, { stone: 270, dome: 255 });
/** Holds that a command was refused, and why. */
const refuses = (done: Promise<unknown>, code: string, words: RegExp): Promise<void> =>
  expect(done).rejects.toEqual(expect.objectContaining({ code, message: expect.stringMatching(words) }));

beforeEach(async () => {
  bench = openSession();
  bench.session.begin(bench.clock.wall());
  await add('Ada');
  await add('Ben');
  await add('Cleo');
});

describe('a command that names what it acts on', () => {
  it('launches one pizza by two taps: the second saw an empty stone that is not empty any more', async () => {
    await bench.commands.act('launch', 'p1', { onStone: [] });
    await refuses(bench.commands.act('launch', 'p2', { onStone: [] }), 'conflict', /Ada is on the stone/);
    expect(pizzas().map((p) => p.launchedAt !== null)).toEqual([true, false, false]);
  });
  it('launches beside another where the page has shown it', async () => {
    await bench.commands.act('launch', 'p1', { onStone: [] });
    await bench.commands.act('launch', 'p2', { onStone: ['p1'] });
    expect(pizza('p2').launchedAt).not.toBeNull();
  });
  it('launches the next that waits where none is named', async () => {
    await bench.commands.act('launch', 'next', { onStone: [] });
    expect(pizza('p1').launchedAt).not.toBeNull();
  });
  it.each([
    ['turn', 'p1', /Ada is not on the stone/],
    ['off', 'p1', /Ada is not on the stone/],
  ] as const)('refuses to %s a pizza that waits', async (does, id, words) => {
    await refuses(bench.commands.act(does, id, {}), 'conflict', words);
  });
  it('refuses a second launch, turn and off of the same pizza', async () => {
    await bench.commands.act('launch', 'p1', {});
    await refuses(bench.commands.act('launch', 'p1', {}), 'conflict', /launched before/);
    await bench.commands.act('turn', 'p1', { turned: false });
    await refuses(bench.commands.act('turn', 'p1', { turned: false }), 'conflict', /Ada was turned/);
    await bench.commands.act('off', 'p1', {});
    await refuses(bench.commands.act('off', 'p1', {}), 'conflict', /Ada is off the stone already/);
  });
  it('refuses a turn of a pizza that was turned, posted or by its path, until that is undone', async () => {
    await bench.commands.act('launch', 'p1', {});
    const turn = await bench.commands.posted({ event: 'turn', pizza: 'p1' });
    const again = /Ada was turned already/;
    await refuses(bench.commands.posted({ event: 'turn', pizza: 'p1' }), 'conflict', again);
    await refuses(bench.commands.posted({ event: 'turn' }), 'conflict', again);
    await refuses(bench.commands.act('turn', 'p1', {}), 'conflict', again);
    await bench.commands.undo(turn.id);
    await bench.commands.posted({ event: 'turn' });
    expect(pizza('p1').turnedAt).not.toBeNull();
  });
  it('turns the one that was not turned yet where none is named', async () => {
    await bench.commands.act('launch', 'p1', {});
    await bench.commands.act('launch', 'p2', {});
    await bench.commands.posted({ event: 'turn' });
    await bench.commands.posted({ event: 'turn' });
    expect([pizza('p1'), pizza('p2')].map(({ turnedAt }) => turnedAt !== null)).toEqual([true, true]);
  });
  it.each(['turn', 'off'] as const)('refuses a late %s of a time before the launch', async (event) => {
    await bench.commands.act('launch', 'p1', {});
    await refuses(
      bench.commands.posted({ event, pizza: 'p1', ago: 600 }),
      'conflict',
      /Ada was not launched yet 600 s ago/,
    );
    await bench.commands.posted({ event, pizza: 'p1', ago: 1 });
  });
  it('refuses to turn or take off what is not in the run', async () => {
    await refuses(bench.commands.act('off', 'p9', {}), 'not-found', /no pizza "p9"/);
  });
});

describe('undo', () => {
  it('gives back the bake times, in the run and in the engine', async () => {
    await bench.commands.act('launch', 'p1', {});
    pass(20);
    await bench.commands.patchPizza('p1', { offAfter: 600 });
    await bench.commands.patchPizza('p1', { offAfter: 700 });
    const off = (): number =>
      Math.round((bench.session.now().onStone[0]?.offAt ?? 0) - (pizza('p1').launchedAt ?? 0));
    expect([pizza('p1').offAfter, off()]).toEqual([700, 700]);
    const moves = bench.session.cook?.events.filter(({ event }) => event.event === 'bake-times') ?? [];
    await bench.commands.undo(moves[1]?.id ?? '');
    expect([pizza('p1').offAfter, off()]).toEqual([600, 600]);
    await bench.commands.undo(moves[0]?.id ?? '');
    expect([pizza('p1').offAfter, off()]).toEqual([450, 450]);
  });
  it('gives back the targets', async () => {
    const before = bench.session.cook?.targets;
    const { id } = await bench.commands.event({ event: 'targets', stone: [300, 330] });
    expect(bench.session.now().cook?.targets.stone).toEqual([300, 330]);
    await bench.commands.undo(id);
    expect(bench.session.cook?.targets).toEqual(before);
  });
  it('of a removal brings the same pizza back to its place', async () => {
    const before = pizza('p2');
    await bench.commands.removePizza('p2');
    await add('Dora');
    await bench.commands.restorePizza('p2');
    expect(pizza('p2')).toEqual(before);
    expect(pizzas().map(({ name }) => name)).toEqual(['Ada', 'Ben', 'Cleo', 'Dora']);
    await refuses(bench.commands.restorePizza('p2'), 'conflict', /in the run/);
  });
});

describe('an event that is posted', () => {
  it.each([
    [{ event: 'undo', of: 'e99' }, 'not-found', /no event "e99"/],
    [{ event: 'probes', probes: [] }, 'invalid', /Probes/],
    [{ event: 'answer', noticed: 'launch', at: 5, yes: true }, 'not-found', /question/],
    [{ event: 'bake-times', pizza: 'p1', offAfter: 500 }, 'conflict', /not on the stone/],
    [{ event: 'caution-seen', caution: 'no such' }, 'not-found', /no caution/],
    [{ event: 'turn', pizza: 'p1' }, 'conflict', /not on the stone/],
    [{ event: 'shelve', alert: 'off-due', seconds: 300 }, 'conflict', /a minute/],
  ] as const)('passes the checks of its own path: %o', async (event, kind, words) => {
    const before = bench.session.cook?.events.length;
    const posted = event.event === 'probes' ? { event: event.event, probes: [] } : event;
    await refuses(bench.commands.posted(posted), kind, words);
    expect(bench.session.cook?.events.length).toBe(before);
  });
  it('is undone once', async () => {
    const { id } = await bench.commands.posted({ event: 'fuel' });
    await bench.commands.posted({ event: 'undo', of: id });
    await refuses(bench.commands.posted({ event: 'undo', of: id }), 'conflict', /undone already/);
  });
});

it('lists each vent of a long evening for its line, however many alerts were seen meanwhile', async () => {
  for (let i = 0; i < 60; i++) {
    await bench.commands.event({ event: 'vent' });
    await bench.commands.event({ event: 'acknowledge', alert: 'overshot' });
  }
  const { events } = bench.session.now();
  expect(events.filter(({ event }) => event === 'vent')).toHaveLength(60);
  expect(events.some(({ event }) => event === 'acknowledge')).toBe(false);
});

it('puts an off that is due off by a minute at a time', async () => {
  await bench.commands.act('launch', 'p1', {});
  pass(500);
  const due = () => bench.session.now().alerts.find(({ alert }) => alert === 'off-due')?.state;
  expect(due()).toBe('unacknowledged');
  const { t } = await bench.commands.bakeLonger('p1');
  expect(pizza('p1').offAfter).toBeCloseTo(t - (pizza('p1').launchedAt ?? 0) + 60, 0);
  pass(5);
  expect(due()).not.toBe('unacknowledged');
  pass(70);
  expect(due()).toBe('unacknowledged');
});

describe('a cook that follows another on the same coals', () => {
  it('given an end and a new cook soon after it, opening the lid is dangerous until the vents are said to be open', async () => {
    pass(60);
    expect(bench.session.now().lidHazard).toBeNull();
    bench.session.endCook();
    bench.clock.at += 30_000;
    bench.session.begin(bench.clock.wall());
    pass(60);
    expect(bench.session.now().lidHazard?.text).toMatch(/open the vents/);
    await bench.commands.event({ event: 'vent', note: 'wide open' });
    pass(90);
    expect(bench.session.now().lidHazard).toBeNull();
  });

  it('given a new cook a day after the last, the vents of that one are not spoken of', () => {
    pass(60);
    bench.session.endCook();
    bench.clock.at += 24 * 3600_000;
    bench.session.begin(bench.clock.wall());
    pass(60);
    expect(bench.session.now().lidHazard).toBeNull();
  });
});

describe('a pizza that nobody knows', () => {
  it.each([
    { event: 'launch', pizza: 'p9' },
    { event: 'turn', pizza: 'p9' },
    { event: 'off', pizza: 'p9' },
    { event: 'bake-times', pizza: 'p9', offAfter: 300 },
  ] as const)('given an event for it, $event is refused by its name', async (event) => {
    await refuses(bench.commands.posted(event), 'not-found', /no pizza "p9"/);
    expect(pizzas()).toHaveLength(3);
  });

  it.each(['launch', 'turn', 'off'] as const)('given its path, %s is refused by its name', async (does) => {
    await refuses(bench.commands.act(does, 'p9', {}), 'not-found', /no pizza "p9"/);
  });
});

it('given a pizza that is off, its times are measured and no longer set; undoing the off frees them', async () => {
  await bench.commands.act('launch', 'p1', {});
  pass(100);
  const off = await bench.commands.act('off', 'p1', {});
  await refuses(bench.commands.patchPizza('p1', { offAfter: 300 }), 'conflict', /Ada is off/);
  expect((await bench.commands.patchPizza('p1', { eater: 'Cy', base: 'right' })).base).toBe('right');
  await bench.commands.undo(off.id);
  await bench.commands.patchPizza('p1', { offAfter: 300 });
  expect(pizza('p1').offAfter).toBe(300);
});

describe('the last pizza is off', () => {
  const alerts = (): string[] => bench.session.now().alerts.map(({ alert }) => alert);
  beforeEach(async () => {
    await bench.commands.removePizza('p2');
    await bench.commands.removePizza('p3');
    pass(200);
    await bench.commands.act('launch', 'p1', {});
    pass(150);
    await bench.commands.act('off', 'p1', {});
    pass(60);
  });

  it('given open vents and all of the run baked, nothing calls for another or for air, until one is added', async () => {
    expect(bench.session.cook?.view().alerts.map(({ alert }) => alert)).toContain('stone-ready');
    expect(bench.session.now()).toMatchObject({ isOver: false, advice: null, alerts: [] });
    await add('Dan');
    expect(alerts()).toContain('stone-ready');
  });

  it('given open vents and a pizza that nobody announced, the stone is called ready: people need not list the next one', async () => {
    await bench.commands.patchPizza('p1', { name: 'Pizza 1' });
    expect(bench.session.now().isOver).toBe(false);
    expect(alerts()).toContain('stone-ready');
  });

  it('given vents that were shut, nothing calls for another, until one is added', async () => {
    await bench.commands.event({ event: 'vent', note: 'both shut' });
    expect(bench.session.now()).toMatchObject({ isOver: true, advice: null });
    expect(alerts()).toEqual([]);
    pass(600);
    expect(alerts()).toEqual([]);
    await add('Dan');
    expect(bench.session.now().isOver).toBe(false);
    expect(alerts()).toContain('stone-ready');
  });
});

it('given a launch tapped by mistake and off again within seconds, it is no bake: nothing is learnt, nothing counted', async () => {
  pass(200);
  await bench.commands.act('launch', 'p1', {});
  pass(8);
  await bench.commands.act('off', 'p1', {});
  pass(10);
  expect(pizza('p1').baked).toBeUndefined();
  await bench.commands.act('launch', 'p2', {});
  pass(120);
  await bench.commands.act('off', 'p2', {});
  pass(10);
  expect(pizza('p2').baked).toBeDefined();
  const [row] = await listCooks(bench.store);
  expect(row?.pizzas).toBe(1);
});

describe('a tap that came late', () => {
  const calls = () => bench.session.now().onStone.map(({ turnAt, offAt }) => [turnAt, offAt]);

  it('given a launch put a minute earlier, turn and off are called as if it had been tapped in time', async () => {
    pass(90);
    await bench.commands.act('launch', 'p1', {});
    pass(10);
    const inTime = calls();
    const { launchedAt } = pizza('p1');
    await bench.commands.earlier('p1', 60);
    expect(pizza('p1').launchedAt).toBeCloseTo((launchedAt ?? NaN) - 60, 3);
    expect(calls()).toEqual(
      inTime.map((times) => times.map((t) => expect.closeTo((t ?? NaN) - 60, 3) as number)),
    );
  });

  it('given a turn and an off put earlier, the pizza lay for as long as that says', async () => {
    pass(30);
    await bench.commands.act('launch', 'p1', {});
    pass(100);
    await bench.commands.act('turn', 'p1', {});
    await bench.commands.earlier('p1', 30);
    pass(100);
    await bench.commands.act('off', 'p1', {});
    await bench.commands.earlier('p1', 60);
    const { launchedAt, turnedAt, offAt } = pizza('p1');
    expect((turnedAt ?? NaN) - (launchedAt ?? NaN)).toBeCloseTo(70, 0);
    expect((offAt ?? NaN) - (launchedAt ?? NaN)).toBeCloseTo(140, 0);
    expect(calls()).toEqual([]);
  });

  it('given nothing tapped, or a time before what was tapped before it, refuses and leaves all as it was', async () => {
    await refuses(bench.commands.earlier('p1', 30), 'conflict', /Nothing was tapped/);
    await bench.commands.act('launch', 'p1', {});
    pass(20);
    await bench.commands.act('turn', 'p1', {});
    const before = pizzas();
    await refuses(bench.commands.earlier('p1', 60), 'conflict', /tapped before it/);
    expect(pizzas()).toEqual(before);
  });

  it('given it put earlier, a restart has the same', async () => {
    pass(90);
    await bench.commands.act('launch', 'p1', {});
    pass(5);
    await bench.commands.earlier('p1', 60);
    const before = pizza('p1');
    await bench.session.persisted();
    bench.store.close();
    bench = openSession(bench.folder, bench.clock);
    bench.session.resume();
    expect(pizza('p1')).toEqual(before);
  });
});
