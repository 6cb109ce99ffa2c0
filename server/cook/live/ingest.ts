import type { PostSpot, PostedReading, SpotAnswer } from '../../../shared/api/api.ts';
import { nextLookId } from '../../../shared/cook/reduce.ts';
import { MAX_SECONDS } from '../../../shared/bounds.ts';
import { isTap } from '../../../shared/event.ts';
import { Fault } from '../../../shared/fault.ts';
import type { RecordingLine } from '../../../shared/recording.ts';
import { fromFahrenheit } from '../../../shared/units.ts';
import { createBreath } from '../../store/breath.ts';
import type { FrameBody } from '../../source/source.ts';
import type { RunningCook } from './running.ts';
import type { CookSession } from './cook-session.ts';
import type { CookInlet, SourcesInUse } from './sources-in-use.ts';

/** Readings may be this far ahead of our clock, since clocks differ, ms. */
const AHEAD_MS = 10_000;
/** A new cook begins at most this long before the reading that starts it reached us, ms. */
const LATE_START_MS = 12 * 3600_000;

/** What comes in from sources, over HTTP and typed by hand, handed to the cook that is on. */
export class Ingest implements CookInlet {
  private readonly session: CookSession;

  constructor(session: CookSession) {
    this.session = session;
  }

  /** A frame of a live source. In a rehearsal it is not taken; with no cook it starts one, unless it goes on from one that was ended. */
  frame(body: FrameBody): void {
    if (this.session.player) return;
    const wall = this.session.wall();
    if (!this.session.cook) {
      if (this.session.tail.framesGoOn(wall) && !this.session.tail.take((t) => ({ ...body, t }), wall))
        return;
      this.session.begin(wall);
    }
    this.session.changed(this.session.apply({ ...body, t: this.session.t() }));
  }

  useSources(sources: SourcesInUse): void {
    this.session.useSources(sources);
  }

  /** @throws Fault when an entry is wrong (none is then taken) or could not be kept */
  async postReadings(posted: readonly PostedReading[]): Promise<number> {
    const wall = this.session.wall();
    const times = posted.map(({ at }, i) => timeOf(at, wall, `readings[${i}].at`));
    const known =
      this.session.cook && !this.session.player
        ? this.session.cook.header.channels.map((c) => c.id)
        : ['stone', 'dome'];
    posted.forEach(({ channel }, i) => {
      if (!known.includes(channel))
        throw new Fault(
          'not-found',
          `There is no channel "${channel}": this cook has ${known.join(', ')}.`,
          `readings[${i}].channel`,
        );
    });
    if (this.goesOn(posted, wall)) return this.toTail(posted, times, wall);
    const cook = this.realCook(Math.max(Math.min(...times), wall - LATE_START_MS));
    const breathe = createBreath();
    for (const [i, reading] of posted.entries()) {
      this.session.changed(cook.apply(this.httpLine(reading, times[i] ?? wall, wall, cook)));
      await breathe();
    }
    await this.session.persisted();
    return posted.length;
  }

  /** Whether these come from warm probes of a cook that a person has ended. */
  private goesOn(posted: readonly PostedReading[], wall: number): boolean {
    const { cook, player, tail } = this.session;
    const channels = posted.map(({ channel }) => channel);
    return (!cook || player !== null) && tail.goesOn(channels, wall);
  }

  private async toTail(posted: readonly PostedReading[], times: number[], wall: number): Promise<number> {
    const { tail } = this.session;
    const breathe = createBreath();
    let isLit = false;
    for (const [i, reading] of posted.entries()) {
      const at = times[i] ?? wall;
      const was = at === wall ? undefined : (at - tail.startedAt) / 1000;
      isLit = tail.take((t) => ({ t, ...httpBody(reading, was) }), wall);
      await breathe();
    }
    if (isLit) this.session.begin(wall);
    await this.session.persisted();
    return posted.length;
  }

  /** The running real cook; a rehearsal is left for a new one. */
  private realCook(startedAt: number): RunningCook {
    if (!this.session.cook || this.session.player) this.session.begin(startedAt);
    if (!this.session.cook) throw new Fault('conflict', 'No cook could be started: try again.');
    return this.session.cook;
  }

  private httpLine(posted: PostedReading, at: number, wall: number, cook: RunningCook): RecordingLine {
    const t = this.session.t();
    // Readings sent with a time keep it to the millisecond; the others are of now.
    const was = at === wall ? undefined : (this.session.labelOf(at) - cook.startedAt) / 1000;
    return { t, ...httpBody(posted, was) };
  }

  /** A look is typed where the page says what is on: in a rehearsal it is of that, as every tap is. */
  async postSpot(spot: PostSpot): Promise<SpotAnswer> {
    // What a page had to hold belongs to the cook that was on then: it begins none.
    const cook =
      spot.ago === undefined
        ? (this.session.cook ?? this.realCook(this.session.wall()))
        : this.session.needCook();
    const before = isTap(spot.id) && cook.events.find(({ id }) => id === spot.id);
    if (before && before.event.event === 'look')
      return { id: before.id, celsius: before.event.celsius, quality: 'good' };
    const known = cook.header.channels.find((c) => c.id === spot.channel);
    if (!known) throw new Fault('not-found', `There is no channel "${spot.channel}".`, 'channel');
    const { channel, surface, emissivitySet, reflected } = spot;
    const celsius = spot.celsius ?? fromFahrenheit(spot.fahrenheit ?? Number.NaN);
    const id = isTap(spot.id) ? spot.id : nextLookId(cook.events);
    const t = this.session.t();
    const readings = cook.apply({
      id,
      t,
      ...(spot.ago !== undefined && { was: t - spot.ago }),
      source: 'spot',
      channel,
      celsius,
      emissivitySet,
      // Only the stone is looked at by infrared; a dial or display elsewhere says what it says.
      ...(known.role === 'stone' ? { surface, reflected } : { emissivity: emissivitySet }),
    });
    this.session.changed(readings);
    await this.session.persisted();
    const reading = readings[0];
    if (!reading || reading.celsius === null)
      throw new Fault(
        'invalid',
        reading?.reason ?? cook.problems[0]?.text ?? 'That reading could not be corrected.',
      );
    return {
      id,
      celsius: reading.celsius,
      quality: reading.quality,
      ...(reading.reason !== undefined && { reason: reading.reason }),
    };
  }
}

const httpBody = ({ channel, celsius, fahrenheit }: PostedReading, was: number | undefined) => ({
  source: 'http' as const,
  channel,
  ...(celsius === undefined ? { fahrenheit } : { celsius }),
  ...(was !== undefined && { was }),
});

function timeOf(at: string | undefined, wall: number, where: string): number {
  if (at === undefined) return wall;
  const ms = Date.parse(at);
  if (ms < wall - MAX_SECONDS * 1000)
    throw new Fault(
      'invalid',
      `${where}: ${at} is more than 7 days ago: that is no reading of this cook.`,
      where,
    );
  if (ms > wall + AHEAD_MS)
    throw new Fault('invalid', `${where}: ${at} lies in the future: check the clock that sent it.`, where);
  return ms;
}
