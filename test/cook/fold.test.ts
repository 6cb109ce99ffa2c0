import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exportCook } from '../../server/cook/portable/cook-export.ts';
import { storedPizzas } from '../../server/cook/history/stored-pizzas.ts';
import { createCore } from '../../server/core/core.ts';
import { Fault } from '../../shared/fault.ts';
import { openSession, type Bench } from '../support/session.ts';

const LOOK = { surface: 'cordierite', emissivitySet: 0.95, reflected: 20 };

/** What a person does, by a number that says to which pizza or event. A refusal is an answer too. */
const DEEDS: Record<string, (bench: Bench, n: number) => Promise<unknown>> = {
  launch: ({ commands }) => commands.act('launch', 'next', {}),
  turn: async (bench, n) => bench.commands.act('turn', pizzaAt(bench, n), {}),
  off: async (bench, n) => bench.commands.act('off', pizzaAt(bench, n), {}),
  'off without a name': ({ commands }) => commands.posted({ event: 'off' }),
  longer: async (bench, n) => bench.commands.bakeLonger(pizzaAt(bench, n)),
  times: async (bench, n) => bench.commands.patchPizza(pizzaAt(bench, n), { offAfter: 300 + n }),
  add: ({ commands }, n) =>
    commands.addPizza({ name: `Of ${n}`, eater: '', likes: '', turnAfter: 200, offAfter: 400 }),
  remove: async (bench, n) => bench.commands.removePizza(pizzaAt(bench, n)),
  restore: async ({ commands }, n) => commands.restorePizza(`p${1 + (n % 4)}`),
  undo: async ({ commands, session }, n) => {
    const { events } = session.needCook();
    return commands.undo(events[n % Math.max(1, events.length)]?.id ?? '');
  },
  look: ({ ingest }, n) => ingest.postSpot({ ...LOOK, channel: 'stone', celsius: 200 + 2 * n }),
  dial: ({ ingest }, n) => ingest.postSpot({ ...LOOK, channel: 'dome', celsius: 150 + 3 * n }),
  targets: ({ commands }, n) => commands.event({ event: 'targets', stone: [200 + n, 240 + n] }),
};

/** A launch that was noticed at the second of one that was tapped. */
const TWO_AT_ONE_MOMENT: [string, number][] = [
  ['launch', 0],
  ['turn', 0],
  ['dial', 0],
  ['look', 0],
  ['add', 0],
  ['longer', 33],
];

function pizzaAt({ session }: Bench, n: number): string {
  const { pizzas } = session.needCook();
  return pizzas[n % Math.max(1, pizzas.length)]?.id ?? 'p1';
}

async function play(bench: Bench, deeds: readonly (readonly [string, number])[]): Promise<number> {
  const id = await bench.session.startCook();
  for (const [deed, n] of deeds) {
    bench.clock.at += 20_000;
    bench.session.advance();
    await DEEDS[deed]?.(bench, n).catch((error: unknown) => {
      if (!(error instanceof Fault)) throw error;
    });
  }
  await bench.store.persisted();
  return id;
}

const shown = ({ session }: Bench) => {
  const { cook, channels, state, forecast, questions, pizzas, onStone, events, alerts } = session.now();
  return { cook, channels, state, forecast, questions, pizzas, onStone, events, alerts };
};

describe('a cook, whatever a person did in it', () => {
  it('is the same live, after a restart, when it is replayed from its export and when it is looked at as a past one', async () => {
    const deed = fc.tuple(fc.constantFrom(...Object.keys(DEEDS)), fc.nat(60));
    await fc.assert(
      fc.asyncProperty(fc.array(deed, { minLength: 5, maxLength: 30 }), async (deeds) => {
        const bench = openSession();
        const id = await play(bench, deeds);
        const live = shown(bench);

        const [head = '', ...lines] = [...exportCook(bench.store, id, 'jsonl')];
        const replay = createCore(JSON.parse(head));
        for (const line of lines) replay.line(JSON.parse(line));
        replay.tick(bench.session.t());
        expect(replay.view().onStone).toEqual(live.onStone);
        expect(replay.view().forecast).toEqual(live.forecast);
        expect(replay.cook().targets).toEqual(bench.session.needCook().targets);

        const cook = bench.store.cook(id);
        expect(cook && storedPizzas(bench.store, cook)).toEqual(live.pizzas);

        bench.store.close();
        const again = openSession(bench.folder, bench.clock);
        again.session.resume();
        expect(shown(again)).toEqual(live);
        again.store.close();
      }),
      { numRuns: 25, examples: [[TWO_AT_ONE_MOMENT]] },
    );
  });

  it('given a pizza taken out of the run and a restart, has it back with its id at its place', async () => {
    const bench = openSession();
    await play(bench, [
      ['add', 1],
      ['add', 2],
      ['add', 3],
    ]);
    const before = bench.session.now().pizzas;
    await bench.commands.removePizza('p2');
    expect(bench.session.now().pizzas.map(({ id }) => id)).toEqual(['p1', 'p3']);
    bench.store.close();
    const again = openSession(bench.folder, bench.clock);
    again.session.resume();
    await again.commands.restorePizza('p2');
    expect(again.session.now().pizzas).toEqual(before);
  });
});
