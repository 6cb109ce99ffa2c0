import type { Settings } from '../../../shared/api/api.ts';
import type { Band } from '../../../shared/engine.ts';
import type { StoneSetup, Taste } from '../../../shared/evening/evening.ts';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { Verdict } from '../../../shared/words.ts';
import { createRandom } from '../../simulator/random.ts';
import { openSession, type Bench } from '../../support/session.ts';

/** A launch as its curves show it: °C and s. `recovers` Infinity: never. `every` 0: the stone is not read. */
export type Launch = {
  stone: number;
  dome: number;
  fall: number;
  fallsIn: number;
  recovers: number;
  lid: number;
  /** How far the dome goes in the two minutes after the launch, to stay there, °C. */
  domeGoes?: number;
  noise: number;
  every: number;
  eater: string;
  taste: Taste;
  /** Seconds from the true launch to the tap. */
  tappedAfter: number;
};
export const STEADY: Launch = {
  stone: 270,
  dome: 255,
  fall: 40,
  fallsIn: 12,
  recovers: 150,
  lid: 50,
  noise: 0.3,
  every: 2,
  eater: '',
  taste: { base: 0, crust: 0, wetness: 0 },
  tappedAfter: 0,
};

/** How much of a fall is there, `since` s after the launch. */
export const fallShare = (since: number, fallsIn: number, recovers: number): number =>
  since <= 0 ? 0 : (1 - Math.exp(-since / fallsIn)) * Math.exp(-Math.max(0, since - 3 * fallsIn) / recovers);

type Targets = Settings['targets'];
export type Own = { turnAfter: number | null; offAfter: number };
/** `announced`: each time that the page showed, with the second of the bake from which on. */
export type Result = {
  called: number;
  announced: { since: number; offAfter: number }[];
  warnings: string[];
  turns: number;
};

/** A cook through the whole of the server but HTTP, by a clock that the test moves second by second. */
export class PlayedCook {
  readonly bench: Bench = openSession();
  private readonly random = createRandom(7);
  private readonly own: Own;
  private dome = 255;

  private constructor(own: Own) {
    this.own = own;
  }

  static async begin(
    own: Own,
    stone: Band,
    dome: Band,
    setup: Partial<StoneSetup> = {},
  ): Promise<PlayedCook> {
    const cook = new PlayedCook(own);
    const { session, commands, clock } = cook.bench;
    const targets: Targets = { stone: [...stone], dome: [...dome], domeLimit: null };
    await commands.putSettings({ targets, stone: { ...session.settings().stone, ...setup } });
    session.begin(clock.wall());
    return cook;
  }

  /** A second goes by. */
  private second(stone: number | null, dome: number): void {
    const { clock, session } = this.bench;
    clock.at += 1000;
    const t = session.t();
    if (stone !== null) session.apply({ t, channel: 'stone', celsius: stone });
    session.apply({ t, channel: 'dome', celsius: dome });
    session.advance();
  }

  /** Steady before the launch. */
  steady(seconds: number, { stone, dome, noise, every }: Launch): void {
    this.dome = dome;
    for (let i = 0; i < seconds; i++) {
      const isRead = every > 0 && i % every === 0;
      this.second(isRead ? stone + noise * this.random.normal() : null, dome);
    }
  }

  /** Launches a pizza and bakes it until it is called off, and taken off. */
  async bake(launch: Launch, verdict: Verdict | null = null): Promise<Result> {
    const { commands } = this.bench;
    const { id } = await commands.addPizza({ name: '', likes: '', ...launch, ...this.own });
    const result: Result = { called: Infinity, announced: [], warnings: [], turns: 0 };
    let since = 0;
    const tap = () => commands.event({ event: 'launch', pizza: id, ...(since > 0 && { ago: since }) });
    if (launch.tappedAfter === 0) await tap();
    for (; since < 2.5 * this.own.offAfter + 60;) {
      since += 1;
      const goes = (launch.domeGoes ?? 0) * Math.min(1, since / 120);
      this.second(this.stoneAt(launch, since), launch.dome + goes - launch.lid * fallShare(since, 6, 60));
      if (since === launch.tappedAfter) await tap();
      this.look(id, since, result);
      if (result.called < Infinity) break;
    }
    await commands.event({ event: 'off', pizza: id });
    this.second(null, this.dome);
    if (verdict) await commands.patchPizza(id, { base: verdict });
    return result;
  }

  private stoneAt({ stone, fall, fallsIn, recovers, noise, every }: Launch, since: number): number | null {
    if (every === 0 || since % every !== 0) return null;
    return stone - fall * fallShare(since, fallsIn, recovers) + noise * this.random.normal();
  }

  private look(id: string, since: number, result: Result): void {
    const { onStone, alerts, guides, t } = this.bench.session.now();
    const lying = onStone.find(({ pizza }) => pizza === id);
    if (!lying || t === null) return;
    const offAfter = lying.offAt - lying.launchedAt;
    if (result.announced.at(-1)?.offAfter !== offAfter)
      result.announced.push({ since: t - lying.launchedAt, offAfter });
    const warning = guides.find(({ pizza }) => pizza === id)?.warning;
    if (warning) result.warnings.push(warning.text);
    result.turns += alerts.filter(({ alert, pizza }) => alert === 'turn-due' && pizza === id).length;
    const isDue = alerts.some(({ alert, pizza }) => alert === 'off-due' && pizza === id);
    if (isDue) result.called = since;
  }

  /** The reasons of all changes so far. */
  reasons(): string[] {
    const events = this.bench.session.cook?.events ?? [];
    return events.flatMap(({ event }) => (event.event === 'bake-times' && event.why) || []);
  }

  /** Launches, waits, takes the launch back and launches again. @returns what was announced before and after, s */
  async launchTwice(launch: Launch, seconds: number): Promise<{ moved: number; relaunched: number }> {
    const { session, commands } = this.bench;
    const { id } = await commands.addPizza({ name: '', likes: '', ...launch, ...this.own });
    const response = await commands.event({ event: 'launch', pizza: id });
    const announced = (): number => {
      const [lying] = session.now().onStone;
      return lying ? lying.offAt - lying.launchedAt : Number.NaN;
    };
    for (let since = 1; since <= seconds; since++) this.second(this.stoneAt(launch, since), launch.dome);
    const moved = announced();
    await commands.undo(response.id);
    this.steady(30, launch);
    await commands.event({ event: 'launch', pizza: id });
    return { moved, relaunched: announced() };
  }

  /** A pizza as earlier versions kept it. */
  async bakeOfBefore(
    eater: string,
    seconds: number,
    baked: NonNullable<Pizza['baked']>,
    base: Verdict,
  ): Promise<void> {
    const { session, commands } = this.bench;
    const { id } = await commands.addPizza({ name: '', likes: '', eater, ...this.own });
    await commands.event({ event: 'launch', pizza: id });
    for (let since = 1; since <= seconds; since++) this.second(null, this.dome);
    await commands.event({ event: 'off', pizza: id });
    this.second(null, this.dome);
    const pizza = session.needCook().pizzas.find((each) => each.id === id);
    if (pizza) session.needCook().putPizza({ ...pizza, baked, base });
  }
}
