import { beforeEach, describe, expect, it } from 'vitest';
import { bankCook } from '../../engine-evaluation/cooks.ts';
import { cook } from '../../simulator/cook.ts';
import { openSession, type Bench } from '../../support/session.ts';

let bench: Bench;
const pizzas = () => bench.session.cook?.pizzas ?? [];

describe('a stone that is only looked at', () => {
  const truth = cook(bankCook(0).plan);
  const launch = truth.actions.find((act) => act.do === 'launch')?.t ?? NaN;
  const asked = () => bench.session.now().questions.filter(({ noticed }) => noticed === 'launch');
  let t = 0;

  /** The dome of a simulated cook and a look every 5 min, until `until`, s. */
  function play(until: number): void {
    for (; t <= until; t += 1) {
      bench.clock.at = t * 1000;
      bench.session.apply({ t, channel: 'dome', celsius: truth.dome[t] ?? 0 });
      const isLook = t < launch && t % 300 === 299;
      if (isLook)
        bench.session.apply({
          t,
          source: 'spot',
          channel: 'stone',
          celsius: Math.round(truth.stone[t] ?? 0),
        });
      bench.session.advance();
    }
  }

  beforeEach(async () => {
    bench = openSession();
    t = 0;
    await bench.session.startCook({
      name: 'Looked at',
      targets: { stone: truth.stoneBand },
    });
    await bench.commands.addPizza({ name: 'Ada', eater: '', likes: '', turnAfter: 210, offAfter: 430 });
    play(launch + 35);
  });

  it('given a lid that went up, asks whether the next pizza was launched; a yes launches it at that time', async () => {
    play(launch + 75);
    const [question] = asked();
    expect(question?.at).toBeGreaterThan(launch - 20);
    expect(question?.at).toBeLessThan(launch + 30);
    await bench.commands.answer(question?.id ?? '', true);
    expect(pizzas()[0]?.launchedAt).toBe(question?.at);
    expect(asked()).toEqual([]);
  });

  it('given a fire that was closed down and looks at a free stone, nothing counts as launched by itself', () => {
    expect(bench.session.cook?.outputs.map((o) => (o.type === 'noticed' ? o.event : ''))).toContain('launch');
    expect(pizzas()[0]?.launchedAt).toBeNull();
    expect(bench.session.cook?.outputs.map((o) => (o.type === 'alert' ? o.alert : ''))).not.toContain(
      'off-due',
    );
  });

  it('given a no, asks no more', async () => {
    play(launch + 75);
    await bench.commands.answer(asked()[0]?.id ?? '', false);
    play(launch + 120);
    expect(asked()).toEqual([]);
    expect(pizzas()[0]?.launchedAt).toBeNull();
  });

  it('given a look typed in, does not ask: the lid went up for it', () => {
    expect(asked()).toHaveLength(1);
    const celsius = Math.round(truth.stone[launch - 5] ?? 0);
    bench.session.apply({ t: launch + 36, source: 'spot', channel: 'stone', celsius });
    play(launch + 40);
    expect(asked()).toEqual([]);
  });
});
