import type { PostSpot, PostedReading } from '../../shared/api.ts';
import { Fault } from '../../shared/fault.ts';
import type { RecordingLine } from '../../shared/recording.ts';
import { fromFahrenheit } from '../../shared/units.ts';
import type { StoredReading } from '../store/store.ts';
import type { FrameBody } from '../source/source.ts';
import type { RunningCook } from './running.ts';
import type { Stage } from './stage.ts';

/** Readings may be this far ahead of our clock, since clocks differ, ms. */
const AHEAD_MS = 10_000;
/** A new cook begins at most this long before the reading that starts it reached us, ms. */
const LATE_START_MS = 12 * 3600_000;

/** What comes in from sources, over HTTP and typed by hand, on its way to the cook that is on. */
export class Incoming {
  private readonly stage: Stage;

  constructor(stage: Stage) {
    this.stage = stage;
  }

  /** A frame of a live source. In a rehearsal it is not taken; with no cook it starts one, unless one was just ended. */
  frame(body: FrameBody): void {
    if (this.stage.player) return;
    if (!this.stage.cook) {
      if (this.stage.endedByHand) return;
      this.stage.begin(this.stage.wall());
    }
    this.stage.changed(this.stage.apply({ ...body, t: this.stage.t() }));
  }

  /** @throws Fault when an entry is wrong (none is then taken) or could not be kept */
  async postReadings(posted: readonly PostedReading[]): Promise<number> {
    const wall = this.stage.wall();
    const times = posted.map(({ at }, i) => timeOf(at, wall, `readings[${i}].at`));
    const known =
      this.stage.cook && !this.stage.player
        ? this.stage.cook.header.channels.map((c) => c.id)
        : ['stone', 'dome'];
    posted.forEach(({ channel }, i) => {
      if (!known.includes(channel))
        throw new Fault(
          'not-found',
          `There is no channel "${channel}": this cook has ${known.join(', ')}.`,
          `readings[${i}].channel`,
        );
    });
    const cook = this.realCook(Math.max(Math.min(...times), wall - LATE_START_MS));
    const readings = posted.flatMap((one, i) => cook.apply(this.httpLine(one, times[i] ?? wall, wall, cook)));
    this.stage.changed(readings);
    await this.stage.kept();
    return posted.length;
  }

  /** The running real cook; a rehearsal is left for a new one. */
  private realCook(startedAt: number): RunningCook {
    if (!this.stage.cook || this.stage.player) this.stage.begin(startedAt);
    if (!this.stage.cook) throw new Fault('conflict', 'No cook could be started: try again.');
    return this.stage.cook;
  }

  private httpLine(
    { channel, celsius, fahrenheit }: PostedReading,
    at: number,
    wall: number,
    cook: RunningCook,
  ): RecordingLine {
    const t = this.stage.t();
    // Readings sent with a time keep it to the millisecond; the others are of now.
    const was = at === wall ? undefined : (this.stage.labelOf(at) - cook.startedAt) / 1000;
    return {
      t,
      source: 'http',
      channel,
      ...(celsius === undefined ? { fahrenheit } : { celsius }),
      ...(was !== undefined && { was }),
    };
  }

  async postSpot(spot: PostSpot): Promise<StoredReading> {
    const cook = this.realCook(this.stage.wall());
    if (!cook.header.channels.some((c) => c.id === spot.channel))
      throw new Fault('not-found', `There is no channel "${spot.channel}".`, 'channel');
    const { channel, surface, emissivitySet, reflected } = spot;
    const celsius = spot.celsius ?? fromFahrenheit(spot.fahrenheit ?? Number.NaN);
    const readings = cook.apply({
      t: this.stage.t(),
      source: 'spot',
      channel,
      celsius,
      surface,
      emissivitySet,
      reflected,
    });
    this.stage.changed(readings);
    await this.stage.kept();
    const reading = readings[0];
    if (!reading)
      throw new Fault('invalid', cook.problems[0]?.text ?? 'That reading could not be corrected.');
    return reading;
  }
}

function timeOf(at: string | undefined, wall: number, where: string): number {
  if (at === undefined) return wall;
  const ms = Date.parse(at);
  if (ms > wall + AHEAD_MS)
    throw new Fault('invalid', `${where}: ${at} lies in the future: check the clock that sent it.`, where);
  return ms;
}
