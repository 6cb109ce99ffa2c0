import { beforeEach, describe, expect, it } from 'vitest';
import { openSession, pass as passWith, type Bench, type StoneAndDome } from '../../support/session.ts';

let bench: Bench;
beforeEach(() => {
  bench = openSession();
});

const pass = (seconds: number, celsius: StoneAndDome): void => passWith(bench, seconds, celsius, 5);

describe('guidance for the pizza on the stone', () => {
  it('moves its times by what stone and dome do, never oftener than every 20 s, and keeps what it had', async () => {
    bench.session.begin(bench.clock.wall());
    pass(300, { stone: 300, dome: 280 });
    const { id } = await bench.commands.addPizza({
      name: '',
      eater: 'Ada',
      likes: '',
      turnAfter: 210,
      offAfter: 450,
    });
    await bench.commands.event({ event: 'launch', pizza: id });
    pass(120, { stone: 300, dome: 280 });
    const [guide] = bench.session.now().guides;
    expect(guide?.pizza).toBe(id);
    const pizza = bench.session.now().pizzas.find((p) => p.id === id);
    // hotter than the middle of both bands
    expect(pizza?.offAfter).toBeLessThan(430);
    const moves = (bench.session.cook?.events ?? []).filter(({ event }) => event.event === 'bake-times');
    expect(moves.length).toBeGreaterThan(0);
    moves.forEach((move, i) => {
      const before = moves[i - 1];
      if (before) expect(move.t - before.t).toBeGreaterThanOrEqual(20);
    });
    await bench.commands.event({ event: 'off', pizza: id });
    pass(5, { stone: 300, dome: 280 });
    const baked = bench.store.pizzas(bench.session.cook?.id ?? 0)[0]?.baked;
    // 120 s on a hotter stone count for more than 120 s in the middle of the band
    expect(baked && 'had' in baked ? baked.had : 0).toBeGreaterThan(130);
    expect(baked?.wantedBase).toBe(450);
  });

  it('leaves times alone that the person has set', async () => {
    bench.session.begin(bench.clock.wall());
    pass(300, { stone: 300, dome: 280 });
    await bench.commands.event({ event: 'launch' });
    await bench.commands.patchPizza('p1', { offAfter: 600 });
    pass(120, { stone: 300, dome: 280 });
    const { pizzas, guides } = bench.session.now();
    expect(pizzas[0]?.offAfter).toBe(600);
    expect(guides[0]?.byHand).toBe(true);
  });

  it('learns from verdicts and forgets them when told', async () => {
    bench.session.begin(bench.clock.wall());
    pass(300, { stone: 270, dome: 250 });
    for (let i = 1; i <= 4; i++) {
      await bench.commands.event({ event: 'launch' });
      pass(450, { stone: 230, dome: 250 });
      await bench.commands.event({ event: 'off' });
      pass(30, { stone: 270, dome: 250 });
      await bench.commands.patchPizza(`p${i}`, { base: 'scorched', top: 'scorched' });
    }
    const { evening, cook } = bench.session;
    const [lesson] = evening.verdicts.all(cook).lessons;
    expect(lesson?.base.pizzas).toBe(4);
    expect(lesson?.base.ln).toBeLessThan(-0.05);
    evening.verdicts.forget(null, bench.clock.wall() + 1000);
    expect(evening.verdicts.all(cook).lessons).toEqual([]);
  });
});

it('advises on the setting by what stood at the launches, not by a dome that still comes down', async () => {
  bench.session.begin(bench.clock.wall());
  pass(900, { stone: 270, dome: 330 });
  expect(bench.session.now().state).toBe('ready');
  const summed = async () => {
    const [cook] = bench.store.cooks();
    if (!cook) throw new Error('no cook was begun');
    return (await bench.session.evening.summary(cook, bench.session.settings())).setting;
  };
  expect(await summed()).toBeNull();
  for (let pizza = 0; pizza < 3; pizza++) {
    pass(300, { stone: 284, dome: 245 });
    await bench.commands.event({ event: 'launch' });
    pass(420, { stone: 250, dome: 240 });
    await bench.commands.event({ event: 'off' });
  }
  // 284 − 245 is 39; of the bands' middles 15 is wanted.
  expect(await summed()).toContain('The stone runs 39 °C over the dome');
});

it('settings keep what a change does not name', async () => {
  await bench.commands.putSettings({ turnAfter: 180 });
  await bench.commands.putSettings({ unit: 'F' });
  expect(bench.session.settings()).toMatchObject({ unit: 'F', turnAfter: 180 });
});

it('does not put off what is due: a base that has had its dose stays called', async () => {
  bench.session.begin(bench.clock.wall());
  pass(300, { stone: 275, dome: 240 });
  await bench.commands.event({ event: 'launch' });
  // a dome far too cold for the top: it would want longer and longer
  pass(900, { stone: 240, dome: 150 });
  const { alerts, onStone, t } = bench.session.now();
  expect(alerts.map(({ alert }) => alert)).toContain('off-due');
  expect(onStone[0]?.offAt).toBeLessThan((t ?? 0) - 300);
});
