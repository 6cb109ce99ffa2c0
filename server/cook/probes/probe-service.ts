import { Fault } from '../../../shared/fault.ts';
import { probe as probeSchema, type Calibration, type Probe } from '../../../shared/probe.ts';
import type { Calibrate, PatchProbe } from '../../../shared/api/devices.ts';
import { againstProbe, byIceAndBoiling, byOffset, type Place } from '../../conversion/calibration.ts';
import { checkProbe } from '../../ingest/check-probe.ts';
import { SOURCE_OPTIONS } from '../../source/subscription.ts';
import type { Store } from '../../store/store.ts';
import type { DeviceRegistry } from './device-registry.ts';
import { needRoom } from '../live/cook-limits.ts';
import type { CookSession } from '../live/cook-session.ts';

/** Readings of two probes count as of one moment when they are so near, s; and so far back they are compared. */
const SAME_MOMENT_SECONDS = 5;
const COMPARED_SECONDS = 300;

/** What of a probe says how its frames are read. */
const READING_KEYS = ['decoder', 'options', 'conversion'] as const;

/** @throws Fault as `checkProbe` */
function checked(probe: Probe): Probe {
  checkProbe(probe, SOURCE_OPTIONS[probe.address.source]);
  return probe;
}

/** The probes that a person has set up: which value of which device is which channel, and how it is corrected. */
export class ProbeService {
  private readonly store: Store;
  private readonly session: CookSession;
  private readonly registry: DeviceRegistry;

  constructor(store: Store, session: CookSession, registry: DeviceRegistry) {
    this.store = store;
    this.session = session;
    this.registry = registry;
  }

  list(): Probe[] {
    return this.store.probes();
  }

  private find(id: string): Probe {
    const probe = this.list().find((probe) => probe.id === id);
    if (!probe) throw new Fault('not-found', `There is no probe "${id}".`);
    return probe;
  }

  async add(probe: Omit<Probe, 'id'>): Promise<Probe> {
    const usedIds = new Set(this.list().map((probe) => probe.id));
    let n = usedIds.size + 1;
    while (usedIds.has(`probe-${n}`)) n++;
    return this.keep(checked({ ...probe, id: `probe-${n}` }));
  }

  async patch(id: string, patch: PatchProbe): Promise<Probe> {
    const { channel, ...rest } = { ...this.find(id), ...patch };
    // No channel is a value of its own; any other null is a member that goes.
    const left = Object.entries(rest).filter(([, value]) => value !== null);
    const changed = probeSchema.parse({ ...Object.fromEntries(left), channel });
    // What was set up when more was let through can still be renamed and moved.
    const isReadOtherwise = READING_KEYS.some((member) => patch[member] !== undefined);
    return this.keep(isReadOtherwise ? checked(changed) : changed);
  }

  /** A channel has one probe: the one that had it before is kept, without a channel. */
  private async keep(probe: Probe): Promise<Probe> {
    needRoom(this.session.cook);
    for (const other of this.list())
      if (other.id !== probe.id && other.channel === probe.channel && probe.channel !== null)
        this.store.putProbe({ ...other, channel: null });
    this.store.putProbe(probe);
    await this.use();
    return probe;
  }

  async forget(id: string): Promise<void> {
    this.find(id);
    needRoom(this.session.cook);
    this.store.removeProbe(id);
    await this.use();
  }

  /** Stone for dome: what the one measured, the other does from now on. */
  async swap(a: string, b: string): Promise<void> {
    const [first, other] = [this.find(a), this.find(b)];
    needRoom(this.session.cook);
    this.store.putProbe({ ...first, channel: other.channel });
    this.store.putProbe({ ...other, channel: first.channel });
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
    return { offset, gain, how, at: new Date(this.session.wall()).toISOString() };
  }

  /** What both said at the same moments lately, °C, the own one as it was before its present calibration. */
  private pairs(own: Probe, other: Probe): [number, number][] {
    const cook = this.session.needCook();
    const from = cook.startedAt + Math.round((this.session.t() - COMPARED_SECONDS) * 1000);
    const of = (probe: Probe) =>
      this.store
        .readings(cook.id, { channel: probe.channel ?? '', from })
        .flatMap((r) => (r.celsius === null || r.quality === 'bad' ? [] : [{ t: r.t, celsius: r.celsius }]));
    const others = of(other);
    const { gain = 1, offset = 0 } = own.calibration ?? {};
    return of(own).flatMap(({ t, celsius }) => {
      const near = others.findLast((reading) => Math.abs(reading.t - t) <= SAME_MOMENT_SECONDS);
      return near ? [[(celsius - offset) / gain, near.celsius] as [number, number]] : [];
    });
  }

  private async use(): Promise<void> {
    const probes = this.list();
    this.registry.subscribe(probes);
    if (this.session.cook && !this.session.player) this.session.record({ event: 'probes', probes });
    this.session.changed();
    await this.session.persisted();
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
