import { Fault } from '../../shared/fault.ts';
import { probe as probeSchema, type Calibration, type Probe } from '../../shared/probe.ts';
import type { Calibrate, PatchProbe } from '../../shared/reach.ts';
import { againstProbe, byIceAndBoiling, byOffset, type Place } from '../conversion/calibration.ts';
import { checkProbe } from '../ingest/check.ts';
import type { Store } from '../store/store.ts';
import type { Reach } from './reach.ts';
import type { Stage } from './stage.ts';

/** Readings of two probes count as of one moment when they are so near, s; and so far back they are compared. */
const SAME_MOMENT = 5;
const COMPARED_SECONDS = 300;

/** The probes that a person has set up: which value of which device is which channel, and how it is corrected. */
export class ProbeBook {
  private readonly store: Store;
  private readonly stage: Stage;
  private readonly reach: Reach;

  constructor(store: Store, stage: Stage, reach: Reach) {
    this.store = store;
    this.stage = stage;
    this.reach = reach;
  }

  list(): Probe[] {
    return this.store.probes();
  }

  private find(id: string): Probe {
    const probe = this.list().find((one) => one.id === id);
    if (!probe) throw new Fault('not-found', `There is no probe "${id}".`);
    return probe;
  }

  async add(probe: Omit<Probe, 'id'>): Promise<Probe> {
    const taken = new Set(this.list().map((one) => one.id));
    let n = taken.size + 1;
    while (taken.has(`probe-${n}`)) n++;
    return this.keep({ ...probe, id: `probe-${n}` });
  }

  async patch(id: string, patch: PatchProbe): Promise<Probe> {
    const { channel, ...rest } = { ...this.find(id), ...patch };
    // No channel is a value of its own; any other null is a member that goes.
    const left = Object.entries(rest).filter(([, value]) => value !== null);
    return this.keep(probeSchema.parse({ ...Object.fromEntries(left), channel }));
  }

  /** A channel has one probe: the one that had it before is kept, without a channel. */
  private async keep(probe: Probe): Promise<Probe> {
    checkProbe(probe);
    for (const other of this.list())
      if (other.id !== probe.id && other.channel === probe.channel && probe.channel !== null)
        this.store.putProbe({ ...other, channel: null });
    this.store.putProbe(probe);
    await this.use();
    return probe;
  }

  async forget(id: string): Promise<void> {
    this.find(id);
    this.store.removeProbe(id);
    await this.use();
  }

  /** Stone for dome: what the one measured, the other does from now on. */
  async swap(a: string, b: string): Promise<void> {
    const [one, other] = [this.find(a), this.find(b)];
    this.store.putProbe({ ...one, channel: other.channel });
    this.store.putProbe({ ...other, channel: one.channel });
    await this.use();
  }

  async calibrate(id: string, how: Calibrate): Promise<Probe> {
    const probe = this.find(id);
    const calibration = how.by === 'nothing' ? undefined : this.found(probe, how);
    const { calibration: _before, ...rest } = probe;
    return this.keep(calibration ? { ...rest, calibration } : rest);
  }

  private found(probe: Probe, how: Exclude<Calibrate, { by: 'nothing' }>): Calibration {
    if (how.by === 'offset') return this.dated(byOffset(how.read, how.truth));
    if (how.by === 'probe') return this.dated(againstProbe(this.pairs(probe, this.find(how.other))));
    return this.dated(byIceAndBoiling(how.ice, how.boiling, placeOf(how)));
  }

  private dated({ offset, gain, how }: Calibration): Calibration {
    return { offset, gain, how, at: new Date(this.stage.wall()).toISOString() };
  }

  /** What both said at the same moments lately, °C, the own one as it was before its present calibration. */
  private pairs(own: Probe, other: Probe): [number, number][] {
    const cook = this.stage.needCook();
    const from = cook.startedAt + Math.round((this.stage.t() - COMPARED_SECONDS) * 1000);
    const of = (probe: Probe) =>
      this.store
        .readings(cook.id, { channel: probe.channel ?? '', from })
        .flatMap((r) => (r.celsius === null || r.quality === 'bad' ? [] : [{ t: r.t, celsius: r.celsius }]));
    const others = of(other);
    const { gain = 1, offset = 0 } = own.calibration ?? {};
    return of(own).flatMap(({ t, celsius }) => {
      const near = others.findLast((one) => Math.abs(one.t - t) <= SAME_MOMENT);
      return near ? [[(celsius - offset) / gain, near.celsius] as [number, number]] : [];
    });
  }

  private async use(): Promise<void> {
    const probes = this.list();
    this.reach.want(probes);
    if (this.stage.cook && !this.stage.player) this.stage.say({ event: 'probes', probes });
    this.stage.changed();
    await this.stage.kept();
  }
}

function placeOf({ altitude, pressure, seaLevelPressure }: Calibrate & { by: 'ice-and-boiling' }): Place {
  if (pressure !== undefined) return { pressure };
  if (altitude === undefined)
    throw new Fault(
      'invalid',
      'Water boils lower the higher you are: say the altitude or the air pressure.',
      'altitude',
    );
  return seaLevelPressure === undefined ? { altitude } : { seaLevelPressure, altitude };
}
