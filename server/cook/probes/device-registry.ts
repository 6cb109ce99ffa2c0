import { Fault } from '../../../shared/fault.ts';
import type { Now } from '../../../shared/api/live.ts';
import type { Probe } from '../../../shared/probe.ts';
import type { ListedDevice, DeviceList } from '../../../shared/api/devices.ts';
import { deviceOf } from '../../ingest/device-address.ts';
import { worthALook } from '../../source/device-scan.ts';
import type { Device, FrameBody, Source, SourceStatus } from '../../source/source.ts';
import { lookSubscription, subscriptionOf } from '../../source/subscription.ts';
import type { Clock } from '../live/clock.ts';
import type { CookInlet } from '../live/sources-in-use.ts';
import { idOf, linesOf, placeOf, textOf, valuesOf, type DeviceFrame } from './device-values.ts';

/** How long a device nobody has mapped is kept connected to, so that the probe page can show what it says, s. */
const LOOK_SECONDS = 60;
/** While the page is open a look is renewed so long after the last, s, so that what it shows does not break off. */
const RENEW_LOOK_SECONDS = 30;
/** Lines of a port that are remembered, for a person to recognise. */
const MAX_LINES = 8;
/** Values of one device that are remembered; a device that makes up names must not fill the memory. */
const MAX_VALUES = 40;
const MAX_DEVICES = 300;

type Looked = { kind: Source['kind']; id: string; options: Record<string, unknown>; mono: number };
type LastFrame = { frame: DeviceFrame; mono: number };

type RegistryParts = {
  sources: readonly Source[];
  clock: Clock;
  cook: CookInlet;
};

/**
 * The live sources, started when a probe or the Probes page needs them, and what of theirs is in range: the
 * last frame of each value of each device, mapped or not.
 */
export class DeviceRegistry {
  private readonly parts: RegistryParts;
  private readonly status = new Map<Source, SourceStatus>();
  private readonly lastFrames = new Map<string, Map<string, LastFrame>>();
  private readonly lines = new Map<string, string[]>();
  private readonly looked = new Map<string, Looked>();
  private started = false;
  private probes: readonly Probe[] = [];
  /** Devices and ports of probes that have a channel. */
  private mapped: ReadonlySet<string> = new Set();

  constructor(parts: RegistryParts) {
    this.parts = parts;
  }

  /** Subscribes to what the probes need; starts the sources if any does. */
  subscribe(probes: readonly Probe[]): void {
    this.probes = probes;
    this.mapped = new Set(
      probes.filter((probe) => probe.channel !== null).map(({ address }) => deviceOf(address)),
    );
    const subscriptions = probes.map(subscriptionOf).filter((probe) => probe !== null);
    if (subscriptions.length > 0) this.start();
    if (this.started) for (const source of this.parts.sources) source.subscribe(subscriptions);
    this.tellCook();
  }

  private start(): void {
    if (this.started) return;
    this.started = true;
    for (const source of this.parts.sources)
      source.start({
        frame: (body) => this.took(body),
        status: (status) => {
          this.status.set(source, status);
          this.tellCook();
        },
      });
  }

  private tellCook(): void {
    this.parts.cook.useSources({ inUse: this.sourcesInUse(), lost: this.lostChannels() });
  }

  private took(body: FrameBody): void {
    if (body.source !== 'ble' && body.source !== 'serial' && body.source !== 'mqtt') return;
    this.recordFrame({ ...body, t: 0 });
    // Of when it is, nobody knows: neither a reading nor the beginning of a cook.
    if (body.source === 'mqtt' && body.retained) return;
    // What unmapped devices in range send is no part of the cook.
    if (this.mapped.has(deviceOf({ ...body, t: 0 }))) this.parts.cook.frame(body);
  }

  private recordFrame(frame: DeviceFrame): void {
    const device = idOf(frame);
    const values = this.lastFrames.get(device) ?? new Map<string, LastFrame>();
    // The one received longest ago goes when a new one comes: both maps are in the order of hearing.
    this.lastFrames.delete(device);
    this.lastFrames.set(device, values);
    const place = placeOf(frame);
    values.delete(place);
    values.set(place, { frame, mono: this.parts.clock.mono() });
    trim(values, MAX_VALUES);
    trim(this.lastFrames, MAX_DEVICES);
    const line = textOf(frame);
    if (line === undefined || line === '') return;
    this.lines.set(device, [...(this.lines.get(device) ?? []), line].slice(-MAX_LINES));
    trim(this.lines, MAX_DEVICES);
  }

  /** What is in reach now. @param looks starts the sources and looks at thermometers that nobody has mapped */
  view(looks = true): DeviceList {
    if (looks) this.start();
    if (looks) this.lookAgain();
    const { probes } = this;
    const devices = [...this.status].flatMap(([source, status]) =>
      status.devices.map((device) => {
        if (looks && worthALook(device)) this.look(source.kind, device.id, {});
        return this.shown(source, device, probes);
      }),
    );
    return {
      sources: this.sources(),
      devices: devices.filter((device) => device !== null),
      probes: [...probes],
    };
  }

  look(kind: Source['kind'], id: string, options: Record<string, unknown>): void {
    this.start();
    const subscribe = lookSubscription(kind, id, options);
    if (!subscribe) throw new Fault('invalid', `${id}: it can’t be listened to.`, 'id');
    this.looked.set(JSON.stringify(subscribe), { kind, id, options, mono: this.parts.clock.mono() });
    this.parts.sources.find((source) => source.kind === kind)?.look(subscribe, LOOK_SECONDS);
  }

  private lookAgain(): void {
    for (const [key, { kind, id, options, mono }] of this.looked) {
      const seconds = (this.parts.clock.mono() - mono) / 1000;
      if (seconds > LOOK_SECONDS) this.looked.delete(key);
      else if (seconds > RENEW_LOOK_SECONDS) this.look(kind, id, options);
    }
  }

  sources(): Now['sources'] {
    return [...this.status.values()].map(({ source, state, problem, remedy }) => ({
      source,
      state,
      ...(problem !== undefined && { problem }),
      ...(remedy !== undefined && { remedy }),
    }));
  }

  /** Those that a probe hangs on: errors of the others do not matter during a cook. */
  private sourcesInUse(): Now['sources'] {
    const used = new Set(this.probes.map(({ address }) => address.source));
    return this.sources().filter(({ source }) => used.has(source as 'ble' | 'serial'));
  }

  /** Channels whose probe is known to be out of reach now. */
  private lostChannels(): ReadonlySet<string> {
    const lost = new Set(
      [...this.status].flatMap(([{ kind }, { devices }]) =>
        devices.filter(({ link }) => link === 'lost').map(({ id }) => keyOf(kind, id)),
      ),
    );
    const channels = this.probes.flatMap((probe) =>
      probe.channel !== null && lost.has(deviceOf(probe.address)) ? [probe.channel] : [],
    );
    return new Set(channels);
  }

  private shown(source: Source, device: Device, probes: readonly Probe[]): ListedDevice | null {
    if (source.kind === 'http' || source.kind === 'spot' || source.kind === 'replay') return null;
    const lastFrames = [...(this.lastFrames.get(device.id)?.values() ?? [])];
    const mono = this.parts.clock.mono();
    const values = lastFrames.flatMap((received) =>
      valuesOf(received.frame, Math.round(mono - received.mono) / 1000, device, probes),
    );
    const lines = linesOf(
      source.kind,
      this.lines.get(device.id) ?? [],
      probes.find((probe) => deviceOf(probe.address) === keyOf(source.kind, device.id)),
    );
    return {
      ...device,
      source: source.kind,
      name: device.name ?? '',
      parts: device.parts ?? [],
      ...(lines && { lines }),
      values,
    };
  }

  async stop(): Promise<void> {
    if (this.started) await Promise.all(this.parts.sources.map((source) => source.stop()));
  }
}

/** A source's device in the spelling by which addresses are compared (server/ingest/device-address.ts). */
const keyOf = (kind: Source['kind'], id: string): string => (kind === 'ble' ? id.toLowerCase() : id);

/** Lets go of the oldest. */
function trim(map: Map<string, unknown>, most: number): void {
  for (const key of map.keys()) {
    if (map.size <= most) return;
    map.delete(key);
  }
}
