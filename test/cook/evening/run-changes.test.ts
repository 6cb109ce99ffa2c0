import { beforeEach, describe, expect, it } from 'vitest';
import { runChanges } from '../../../server/cook/evening/run-changes.ts';
import { planInput } from '../../../shared/evening/evening.ts';
import { planDraft, planPizza, type PlanDraft } from '../../../shared/evening/plan.ts';
import { openSession, pass, type Bench } from '../../support/session.ts';

const pizza = (eater: string, name = '', toppings = '') => planPizza.parse({ eater, name, toppings });
const run = (...eaters: string[]) => eaters.map((eater, i) => ({ id: `p${i + 1}`, wish: pizza(eater) }));

describe('a run that is changed while its cook is on', () => {
  it('given the same run, changes nothing', () => {
    const before = run('Ada', 'Ben', 'Cleo');
    const after = before.map(({ wish }) => wish);
    expect(runChanges(before, after)).toMatchObject({ changed: [], gone: [], order: null });
  });

  it('given another order, is the same pizzas in that order', () => {
    const { changed, gone, order } = runChanges(run('Ada', 'Ben', 'Cleo'), [
      pizza('Cleo'),
      pizza('Ada'),
      pizza('Ben'),
    ]);
    expect([changed, gone, order]).toEqual([[], [], ['p3', 'p1', 'p2']]);
  });

  it('given a pizza taken out of the middle, that one is gone and no other is changed', () => {
    const { changed, gone, order } = runChanges(run('Ada', 'Ben', 'Cleo'), [pizza('Ada'), pizza('Cleo')]);
    expect([changed, gone, order]).toEqual([[], ['p2'], null]);
  });

  it('given a pizza named anew and one more, the first keeps its id and the other has none yet', () => {
    const { changed } = runChanges(run('Ada', 'Ben'), [
      pizza('Ada'),
      pizza('Ben', 'Green one'),
      pizza('Dora'),
    ]);
    expect(changed.map(({ id, wish }) => [id, wish.name, wish.eater])).toEqual([
      ['p2', 'Green one', 'Ben'],
      [null, '', 'Dora'],
    ]);
  });
});

describe('the cook that follows a plan', () => {
  let bench: Bench;
  const draft = (pizzas: readonly ReturnType<typeof pizza>[], serveAt = '2026-06-01T20:00:00Z'): PlanDraft =>
    planDraft.parse({ input: planInput.parse({ serveAt, pizzas: pizzas.length }), run: pizzas });
  const put = (pizzas: readonly ReturnType<typeof pizza>[], serveAt?: string): void => {
    const { session } = bench;
    session.evening.put(
      draft(pizzas, serveAt),
      session.cook,
      session.settings(),
      (event) => void session.record(event),
    );
  };
  const inCook = () => bench.session.now().pizzas.map(({ name, eater }) => [name, eater].join(' for '));
  const FIRST = [pizza('', 'White'), pizza('', 'Red'), pizza('', 'Green')];

  beforeEach(() => {
    bench = openSession();
    bench.session.evening.plan.put(draft(FIRST));
    bench.session.begin(bench.clock.wall());
  });

  it('given pizzas added, named, for others and in another order, has them before they are launched', () => {
    put([pizza('Ada', 'Green'), pizza('', 'White'), pizza('', 'Blue'), pizza('', 'Yellow')]);
    expect(inCook()).toEqual(['Green for Ada', 'White for ', 'Blue for ', 'Yellow for ']);
    put(FIRST);
    expect(inCook()).toEqual(['White for ', 'Red for ', 'Green for ']);
  });

  it('given a pizza on the stone, leaves it as it is and changes those after it', async () => {
    await bench.commands.event({ event: 'launch', pizza: 'p1' });
    put([pizza('', 'Other'), pizza('', 'Green'), pizza('', 'Red'), pizza('', 'Blue')]);
    expect(inCook()).toEqual(['White for ', 'Green for ', 'Red for ', 'Blue for ']);
    expect(bench.session.now().pizzas[0]?.launchedAt).not.toBeNull();
  });

  it('given what the cook changed itself, keeps it where the plan says the same as before', async () => {
    await bench.commands.patchPizza('p2', { name: 'Red and hot' });
    await bench.commands.addPizza({ name: 'Sweet', eater: '', likes: '', turnAfter: null, offAfter: 300 });
    put([...FIRST, pizza('', 'Blue')]);
    expect(inCook()).toEqual(['White for ', 'Red and hot for ', 'Green for ', 'Sweet for ', 'Blue for ']);
  });

  it('given a removed pizza, has it back when that is undone', async () => {
    put(FIRST.slice(0, 2));
    expect(inCook()).toEqual(['White for ', 'Red for ']);
    await bench.commands.restorePizza('p3');
    expect(inCook()).toEqual(['White for ', 'Red for ', 'Green for ']);
  });

  it('given another bake time for all, bakes by it what waits and has no time of its own', async () => {
    await bench.commands.event({ event: 'launch', pizza: 'p1' });
    await bench.commands.patchPizza('p2', { offAfter: 300 });
    await bench.commands.putSettings({ offAfter: 400, turnAfter: null });
    expect(bench.session.now().pizzas.map(({ offAfter }) => offAfter)).toEqual([450, 300, 400]);
  });

  it('given another serving on the same evening, what was done stays done; on another evening it does not', () => {
    const { plan } = bench.session.evening;
    plan.happened('mix', undefined, bench.clock.wall() - 3 * 3600_000);
    put(FIRST, '2026-06-01T21:00:00Z');
    const mix = () => bench.session.now().plan?.steps.find(({ id }) => id === 'mix');
    expect(mix()?.done).toBe(true);
    expect(plan.follows(bench.session.cook)).toBe(true);
    put(FIRST, '2026-06-03T20:00:00Z');
    expect(mix()?.done).toBe(false);
  });

  it('given a verdict on a launch that is undone, is taught nothing by it, and by the launch after it alone', async () => {
    const { session, commands } = bench;
    const taught = () => session.evening.verdicts.of('', session.cook).base.pizzas;
    const seconds = (n: number): void => pass(bench, n, { stone: 270, dome: 255 });
    seconds(60);
    const launch = await commands.event({ event: 'launch', pizza: 'p1' });
    seconds(200);
    await commands.event({ event: 'off', pizza: 'p1' });
    seconds(2);
    await commands.patchPizza('p1', { base: 'scorched' });
    expect(taught()).toBe(1);
    await commands.undo(launch.id);
    expect(taught()).toBe(0);
    await commands.event({ event: 'launch', pizza: 'p1' });
    seconds(200);
    await commands.event({ event: 'off', pizza: 'p1' });
    seconds(2);
    expect(taught()).toBe(0);
    expect(session.now().pizzas[0]?.base).toBeNull();
    await commands.patchPizza('p1', { base: 'right' });
    expect(taught()).toBe(1);
  });
});
