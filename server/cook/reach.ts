import type { Now } from '../../shared/live.ts';
import type { Probe } from '../../shared/probe.ts';
import type { ReachDevice, ReachView } from '../../shared/reach.ts';
import type { BleLine, SerialLine } from '../../shared/recording.ts';
import { worthALook } from '../source/scan.ts';
import type { Device, FrameBody, Source, SourceStatus } from '../source/source.ts';
import { bleWant, serialWant, wantOf } from '../source/want.ts';
import type { Clock } from './clock.ts';
import { linesOf, placeOf, valuesOf } from './in-reach.ts';

/** How long a device nobody has mapped is kept connected to, so that the probe page can show what it says, s. */
const LOOK_SECONDS = 60;
/** While the page is open a look is renewed so long after the last, s, so that what it shows does not break off. */
const LOOK_AGAIN = 30;
/** Lines of a port that are remembered, for a person to recognise. */
const MOST_LINES = 8;
/** Values of one device that are remembered; a device that makes up names must not fill the memory. */
const MOST_VALUES = 40;
const MOST_DEVICES = 300;

type Looked = { kind: Source['kind']; id: string; options: Record<string, unknown>; mono: number };
type Heard = { frame: BleLine | SerialLine; mono: number };

export type ReachParts = {
  sources: readonly Source[];
  clock: Clock;
  frame(body: FrameBody): void;
  changed(): void;
};

/**
 * The live sources, started when a probe or the probe page wants them, and what of theirs is in reach: the last frame of
 * each value of each device, mapped or not.
 */
export class Reach {
  private readonly parts: ReachParts;
  private readonly status = new Map<Source, SourceStatus>();
  private readonly heard = new Map<string, Map<string, Heard>>();
  private readonly lines = new Map<string, string[]>();
  private readonly looked = new Map<string, Looked>();
  private started = false;
  private probes: readonly Probe[] = [];
  /** Devices and ports of probes that have a channel. */
  private mapped: ReadonlySet<string> = new Set();

  constructor(parts: ReachParts) {
    this.parts = parts;
  }

  /** Connects to what the probes want; starts the sources if any does. */
  want(probes: readonly Probe[]): void {
    this.probes = probes;
    this.mapped = new Set(probes.filter((one) => one.channel !== null).map(deviceOf));
    const wanted = probes.map(wantOf).filter((one) => one !== null);
    if (wanted.length > 0) this.start();
    if (this.started) for (const source of this.parts.sources) source.want(wanted);
  }

  private start(): void {
    if (this.started) return;
    this.started = true;
    for (const source of this.parts.sources)
      source.start({
        frame: (body) => this.took(body),
        status: (status) => {
          this.status.set(source, status);
          this.parts.changed();
        },
      });
  }

  private took(body: FrameBody): void {
    if (body.source !== 'ble' && body.source !== 'serial') return;
    this.remember({ ...body, t: 0 });
    // What strangers in reach say is no part of the cook.
    if (this.mapped.has(body.source === 'ble' ? body.device : body.port)) this.parts.frame(body);
  }

  private remember(frame: BleLine | SerialLine): void {
    const device = frame.source === 'ble' ? frame.device : frame.port;
    const values = this.heard.get(device) ?? new Map<string, Heard>();
    // The one heard longest ago goes when a new one comes: both maps are in the order of hearing.
    this.heard.delete(device);
    this.heard.set(device, values);
    const place = placeOf(frame);
    values.delete(place);
    values.set(place, { frame, mono: this.parts.clock.mono() });
    trim(values, MOST_VALUES);
    trim(this.heard, MOST_DEVICES);
    if (frame.source !== 'serial' || frame.line === undefined) return;
    this.lines.set(device, [...(this.lines.get(device) ?? []), frame.line].slice(-MOST_LINES));
    trim(this.lines, MOST_DEVICES);
  }

  /** What is in reach now. Asking for it starts the sources and looks at thermometers that nobody has mapped. */
  view(): ReachView {
    this.start();
    this.lookAgain();
    const { probes } = this;
    const devices = [...this.status].flatMap(([source, status]) =>
      status.devices.map((device) => {
        if (worthALook(device)) this.look(source.kind, device.id, {});
        return this.shown(source, device, probes);
      }),
    );
    return { sources: this.sources(), devices: devices.filter((one) => one !== null), probes: [...probes] };
  }

  look(kind: Source['kind'], id: string, options: Record<string, unknown>): void {
    this.start();
    const want =
      kind === 'ble'
        ? bleWant.safeParse({ ...options, source: 'ble', device: id }).data
        : serialWant.safeParse({ ...options, source: 'serial', port: id }).data;
    if (!want) return;
    this.looked.set(JSON.stringify(want), { kind, id, options, mono: this.parts.clock.mono() });
    this.parts.sources.find((one) => one.kind === kind)?.look(want, LOOK_SECONDS);
  }

  private lookAgain(): void {
    for (const [key, { kind, id, options, mono }] of this.looked) {
      const seconds = (this.parts.clock.mono() - mono) / 1000;
      if (seconds > LOOK_SECONDS) this.looked.delete(key);
      else if (seconds > LOOK_AGAIN) this.look(kind, id, options);
    }
  }

  sources(): Now['sources'] {
    return [...this.status.values()].map(({ source, state, problem, mend }) => ({
      source,
      state,
      ...(problem !== undefined && { problem }),
      ...(mend !== undefined && { mend }),
    }));
  }

  /** Channels whose probe is known to be out of reach now. */
  lostChannels(): ReadonlySet<string> {
    const devices = [...this.status.values()].flatMap((one) => one.devices);
    const lost = new Set(devices.filter((one) => one.link === 'lost').map((one) => one.id));
    const channels = this.probes.flatMap((probe) =>
      probe.channel !== null && lost.has(deviceOf(probe)) ? [probe.channel] : [],
    );
    return new Set(channels);
  }

  private shown(source: Source, device: Device, probes: readonly Probe[]): ReachDevice | null {
    if (source.kind !== 'ble' && source.kind !== 'serial') return null;
    const heard = [...(this.heard.get(device.id)?.values() ?? [])];
    const mono = this.parts.clock.mono();
    const values = heard.flatMap((one) =>
      valuesOf(one.frame, Math.round(mono - one.mono) / 1000, device, probes),
    );
    const lines = linesOf(
      this.lines.get(device.id) ?? [],
      probes.find((probe) => deviceOf(probe) === device.id),
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
    if (this.started) await Promise.all(this.parts.sources.map((one) => one.stop()));
  }
}

/** The device or port that a probe listens to; empty for what is typed or posted. */
function deviceOf({ address }: Probe): string {
  if (address.source === 'ble') return address.device;
  return address.source === 'serial' ? address.port : '';
}

/** Lets go of the oldest. */
function trim(map: Map<string, unknown>, most: number): void {
  for (const key of map.keys()) {
    if (map.size <= most) return;
    map.delete(key);
  }
}
