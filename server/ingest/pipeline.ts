import { Fault } from '../../shared/fault.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Reading } from '../../shared/reading.ts';
import type { Frame, ReadingLine, SpotLine } from '../../shared/recording.ts';
import type { Role } from '../../shared/words.ts';
import { DecodeError, OptionsError, type Measurement, type Session } from '../decoder/decoder.ts';
import { decoderFor } from '../decoder/registry.ts';
import { toCelsius } from './convert.ts';
import { isFor, pick, senderOf } from './route.ts';
import { judge, startTrust, type TrustState } from './trust.ts';

/** Something that a person should know and that is no reading: `damaged`, `options`, `unknown-channel`, `low-battery` … */
export type Problem = { code: string; text: string };
export type PipelineStep = { readings: Reading[]; problems: Problem[] };

export type PipelineConfig = {
  channels: readonly { id: string; role: Role }[];
  probes: readonly Probe[];
};

/** Plain JSON: whoever keeps it goes on where it was. */
export type PipelineState = {
  channels: { id: string; role: Role }[];
  probes: Probe[];
  /** What decoders remember, by sender and decoder. */
  sessions: Record<string, Session>;
  /** Last cold junction, °C, by sender and part, for boards that send it in a line of its own. */
  junctions: Record<string, number>;
  /** Last battery level, percent, by sender. */
  batteries: Record<string, number>;
  trust: TrustState;
};

export type Pipeline = {
  readonly state: PipelineState;
  frame(frame: Frame): PipelineStep;
  /** From here on these are the probes. */
  use(probes: readonly Probe[]): void;
};

/** A charged battery may rise again above this before its fall is told anew, percent. */
const BATTERY_LOW = 15;

export function startPipeline({ channels, probes }: PipelineConfig): PipelineState {
  return {
    channels: channels.map(({ id, role }) => ({ id, role })),
    probes: [...probes],
    sessions: {},
    junctions: {},
    batteries: {},
    trust: startTrust(),
  };
}

/** Frame in, readings out; `state` is changed in place. Never throws: what is wrong is a problem. */
export function takeFrame(state: PipelineState, frame: Frame): PipelineStep {
  const step: PipelineStep = { readings: [], problems: [] };
  const guarded = (work: () => void): void => {
    try {
      work();
    } catch (error) {
      step.problems.push(problemOf(error, frame));
    }
  };
  const probes = state.probes.filter((probe) => isFor(probe, frame));
  if (probes.length > 0) {
    for (const group of groups(probes, frame)) guarded(() => takeGroup(state, frame, group, step));
  } else if (isDirect(frame)) guarded(() => takeDirect(state, frame, step));
  else if (state.probes.some((probe) => knowsSender(probe, frame)))
    guarded(() => takeAside(state, frame, step));
  return step;
}

export function useProbes(state: PipelineState, probes: readonly Probe[]): void {
  state.probes = [...probes];
}

export function createPipeline(config: PipelineConfig): Pipeline {
  const state = startPipeline(config);
  return {
    state,
    frame: (frame) => takeFrame(state, frame),
    use: (probes) => useProbes(state, probes),
  };
}

function problemOf(error: unknown, frame: Frame): Problem {
  const from = senderOf(frame);
  if (error instanceof OptionsError) return { code: 'options', text: `${from}: ${error.message}` };
  if (error instanceof DecodeError)
    return { code: 'damaged', text: `A frame of ${from} can't be read and is left out: ${error.message}.` };
  if (error instanceof Fault) return { code: error.code, text: error.message };
  // Not expected of any decoder or conversion; the rest of the evening must go on all the same.
  return { code: 'internal', text: `A frame of ${from} could not be taken: ${String(error)}.` };
}

const isDirect = (frame: Frame): frame is ReadingLine | SpotLine => 'channel' in frame;

function knowsSender({ address }: Probe, frame: Frame): boolean {
  return (
    frame.source === 'ble' &&
    address.source === 'ble' &&
    address.device.toLowerCase() === frame.device.toLowerCase()
  );
}

/** Probes that read a frame by one decoder with one set of options: it is decoded once for all of them. */
type Group = { decoder: string | undefined; options: Record<string, unknown>; probes: Probe[] };

const NO_OPTIONS: Record<string, unknown> = {};

function groups(probes: readonly Probe[], frame: Frame): Group[] {
  const found = new Map<string, Group>();
  // A key or mapping given for one probe of a device serves its other probes.
  const shared = probes.find((probe) => probe.options !== undefined)?.options ?? NO_OPTIONS;
  for (const probe of probes) {
    const decoder = decoderFor(frame, probe.decoder)?.name;
    const options = probe.options ?? shared;
    const key = `${decoder} ${options === shared ? '' : JSON.stringify(options)}`;
    const group = found.get(key) ?? { decoder, options, probes: [] };
    group.probes.push(probe);
    found.set(key, group);
  }
  return [...found.values()];
}

function takeGroup(state: PipelineState, frame: Frame, group: Group, step: PipelineStep): void {
  const measurements = decode(state, frame, group.decoder, group.options);
  if (!measurements) {
    const name = nameOf(group.probes[0] ?? null);
    step.problems.push({
      code: 'no-decoder',
      text: `Nothing here reads what "${name}" sends: choose a decoder or build a mapping on the probe page.`,
    });
    return;
  }
  noteDevice(state, frame, measurements, step);
  for (const probe of group.probes) take(state, frame, probe, measurements, step);
}

function decode(
  state: PipelineState,
  frame: Frame,
  name: string | undefined,
  options: Record<string, unknown>,
): Measurement[] | null {
  const decoder = decoderFor(frame, name);
  if (!decoder) return null;
  const key = `${decoder.name} ${senderOf(frame)}`;
  const session = (state.sessions[key] ??= {});
  return decoder.decode(frame, options, session);
}

/** A reading or a spot of a channel that no probe stands before. */
function takeDirect(state: PipelineState, frame: ReadingLine | SpotLine, step: PipelineStep): void {
  const measurements = decoderFor(frame)?.decode(frame, NO_OPTIONS, {}) ?? [];
  take(state, frame, null, measurements, step, frame.channel);
}

/** Of a device that has a probe, but not of the probe: only its battery is of interest. */
function takeAside(state: PipelineState, frame: Frame, step: PipelineStep): void {
  const decoder = decoderFor(frame);
  if (decoder?.name !== 'battery') return;
  noteDevice(state, frame, decoder.decode(frame, {}, {}), step);
}

function noteDevice(
  state: PipelineState,
  frame: Frame,
  measurements: readonly Measurement[],
  step: PipelineStep,
): void {
  const sender = senderOf(frame);
  for (const { part, quantity, value } of measurements) {
    if (value === null) continue;
    if (quantity === 'battery') noteBattery(state, sender, value, step);
    else if (quantity === 'junction' || quantity === 'celsius') state.junctions[`${sender} ${part}`] = value;
  }
}

function noteBattery(state: PipelineState, sender: string, percent: number, step: PipelineStep): void {
  const before = state.batteries[sender] ?? 100;
  state.batteries[sender] = percent;
  if (percent <= BATTERY_LOW && before > BATTERY_LOW)
    step.problems.push({
      code: 'low-battery',
      text: `The battery of ${sender} is at ${percent} %: change it before it stops.`,
    });
}

const nameOf = (probe: Probe | null): string => probe?.name ?? probe?.id ?? '';

function take(
  state: PipelineState,
  frame: Frame,
  probe: Probe | null,
  measurements: readonly Measurement[],
  step: PipelineStep,
  channel = probe?.channel ?? null,
): void {
  const measurement = pick(probe, measurements);
  if (!measurement || channel === null) return;
  const known = state.channels.find((one) => one.id === channel);
  if (!known) {
    const list = state.channels.map((one) => one.id).join(', ');
    step.problems.push({
      code: 'unknown-channel',
      text: `There is no channel "${channel}": this cook has ${list}.`,
    });
    return;
  }
  if ('quality' in frame && frame.quality !== undefined) {
    step.readings.push(judgedBefore(frame, channel, measurement));
    return;
  }
  const sender = senderOf(frame);
  const { celsius, fault, doubt, range } = toCelsius(probe, measurement, (part) =>
    junctionOf(state, sender, part, measurements),
  );
  const was = 'was' in frame ? frame.was : undefined;
  const verdict = judge(state.trust, {
    via: probe?.id ?? sender,
    channel,
    role: known.role,
    t: was ?? frame.t,
    late: was === undefined ? 0 : frame.t - was,
    byHand: frame.source === 'spot',
    celsius,
    fault,
    doubt,
    range,
    clipped: measurement.clipped === true,
    battery: state.batteries[sender],
  });
  step.readings.push({ t: frame.t, channel, ...verdict });
}

function judgedBefore(frame: ReadingLine, channel: string, { value }: Measurement): Reading {
  const { t, quality = 'good', reason } = frame;
  return { t, channel, celsius: value, quality, ...(reason !== undefined && { reason }) };
}

/** The cold junction, °C: the part that the conversion names, else any that the device calls one. */
function junctionOf(
  state: PipelineState,
  sender: string,
  part: string | undefined,
  measurements: readonly Measurement[],
): number | null {
  const here = measurements.find((one) =>
    part === undefined ? one.quantity === 'junction' : one.part === part,
  );
  if (here) return here.value;
  return part === undefined ? null : (state.junctions[`${sender} ${part}`] ?? null);
}
