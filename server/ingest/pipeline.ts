import { Fault } from '../../shared/fault.ts';
import type { Probe } from '../../shared/probe.ts';
import type { Reading } from '../../shared/reading.ts';
import type { Frame, ReadingLine, SpotLine } from '../../shared/recording.ts';
import type { Role } from '../../shared/words.ts';
import { DecodeError, OptionsError, type Measurement, type Session } from '../decoder/decoder.ts';
import { decoderFor } from '../decoder/decoder-list.ts';
import { toCelsius } from './to-celsius.ts';
import { junctionOf, noDevices, note, type DeviceState } from './device-state.ts';
import { isOfDevice } from './device-address.ts';
import { groupsOf, namesPlace, pick, senderOf, type Group } from './probe-of-frame.ts';
import { forget, assessQuality, freshQualityState, type QualityState } from './quality.ts';

/** Something that a person should know and that is no reading: `damaged`, `options`, `unknown-channel`, `low-battery` … */
export type Problem = { code: string; text: string };
type PipelineStep = { readings: Reading[]; problems: Problem[] };

type PipelineConfig = {
  channels: readonly { id: string; role: Role }[];
  probes: readonly Probe[];
};

/** Plain JSON: whoever keeps it goes on where it was. */
type PipelineState = {
  channels: { id: string; role: Role }[];
  probes: Probe[];
  /** What decoders remember, by sender, decoder and options. */
  sessions: Record<string, Session>;
  devices: DeviceState;
  quality: QualityState;
};

export type Pipeline = {
  readonly state: PipelineState;
  frame(frame: Frame): PipelineStep;
  /** From here on these are the probes. */
  use(probes: readonly Probe[]): void;
};

export function startPipeline({ channels, probes }: PipelineConfig): PipelineState {
  return {
    channels: channels.map(({ id, role }) => ({ id, role })),
    probes: [...probes],
    sessions: {},
    devices: noDevices(),
    quality: freshQualityState(),
  };
}

/** Frame in, readings out; `state` is changed in place. Never throws: what is wrong is a problem. */
export function takeFrame(state: PipelineState, frame: Frame): PipelineStep {
  const step: PipelineStep = { readings: [], problems: [] };
  if (frame.source === 'mqtt' && frame.retained) return step;
  const groups = groupsOf(state.probes, frame);
  if (groups.length > 0) {
    for (const group of groups) guarded(frame, step, () => takeGroup(state, frame, group, step));
  } else if (isDirect(frame)) guarded(frame, step, () => takeDirect(state, frame, step));
  else if (state.probes.some((probe) => isOfDevice(probe.address, frame)))
    guarded(frame, step, () => noteAdvertisement(state, frame, step));
  return step;
}

/** Decoders begin anew: a device whose battery was changed counts from nought. */
function useProbes(state: PipelineState, probes: readonly Probe[]): void {
  for (const { id, channel } of state.probes) {
    const stays = probes.some((probe) => probe.id === id && probe.channel === channel);
    if (!stays && channel !== null) forget(state.quality, channel, id);
  }
  state.probes = [...probes];
  state.sessions = {};
}

export function createPipeline(config: PipelineConfig): Pipeline {
  const state = startPipeline(config);
  return {
    state,
    frame: (frame) => takeFrame(state, frame),
    use: (probes) => useProbes(state, probes),
  };
}

function guarded(frame: Frame, step: PipelineStep, work: () => void): void {
  try {
    work();
  } catch (error) {
    step.problems.push(problemOf(error, frame));
  }
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

function takeGroup(state: PipelineState, frame: Frame, group: Group, step: PipelineStep): void {
  const decoder = decoderFor(frame, group.decoder);
  if (!decoder) {
    step.problems.push(...unread(group));
    return;
  }
  const session = (state.sessions[`${senderOf(frame)} ${group.key}`] ??= {});
  const measurements = decoder.decode(frame, group.options, session);
  noteDevice(state, frame, measurements, step);
  for (const probe of group.probes)
    guarded(frame, step, () => take(state, { frame, probe, measurements, channel: probe.channel }, step));
}

function unread({ probes }: Group): Problem[] {
  return probes.filter(namesPlace).map((probe) => ({
    code: 'no-decoder',
    text: `Nothing here reads what "${nameOf(probe)}" sends: choose a decoder or build a mapping on the probe page.`,
  }));
}

/** A reading or a spot of a channel that no probe stands before. */
function takeDirect(state: PipelineState, frame: ReadingLine | SpotLine, step: PipelineStep): void {
  const measurements = decoderFor(frame)?.decode(frame, NO_OPTIONS, {}) ?? [];
  take(state, { frame, probe: null, measurements, channel: frame.channel }, step);
}
const NO_OPTIONS: Record<string, unknown> = {};

/** Of a device that has a probe, but not of the probe: only its battery is of interest. */
function noteAdvertisement(state: PipelineState, frame: Frame, step: PipelineStep): void {
  const decoder = decoderFor(frame);
  if (decoder?.name === 'battery') noteDevice(state, frame, decoder.decode(frame, NO_OPTIONS, {}), step);
}

function noteDevice(
  state: PipelineState,
  frame: Frame,
  measurements: readonly Measurement[],
  step: PipelineStep,
): void {
  const lowBatteries = note(state.devices, senderOf(frame), measurements, state.probes);
  step.problems.push(...lowBatteries.map((text) => ({ code: 'low-battery', text })));
}

const nameOf = (probe: Probe): string => probe.name ?? probe.id;

/** A decoded frame for one channel; `probe` is null for a reading that needs none. */
type DecodedFrame = {
  frame: Frame;
  probe: Probe | null;
  measurements: readonly Measurement[];
  channel: string | null;
};

function take(state: PipelineState, decoded: DecodedFrame, step: PipelineStep): void {
  const { frame, probe, measurements, channel } = decoded;
  const measurement = pick(probe, measurements);
  if (!measurement || channel === null) return;
  const known = state.channels.find((each) => each.id === channel);
  if (!known) step.problems.push(unknownChannel(state, channel));
  else if ('quality' in frame && frame.quality !== undefined)
    step.readings.push(assessedBefore(frame, channel, measurement));
  else step.readings.push(readingOf(state, decoded, measurement, known));
}

function unknownChannel({ channels }: PipelineState, channel: string): Problem {
  const list = channels.map((channel) => channel.id).join(', ');
  return { code: 'unknown-channel', text: `There is no channel "${channel}": this cook has ${list}.` };
}

/** What a recording says of its own readings is kept, except that `bad` is no value and no value is `bad`. */
function assessedBefore(frame: ReadingLine, channel: string, { value, fault }: Measurement): Reading {
  const { t, quality = 'good', reason = fault } = frame;
  const isBad = quality === 'bad' || value === null;
  return {
    t,
    channel,
    celsius: isBad ? null : value,
    quality: isBad ? 'bad' : quality,
    ...(reason !== undefined && { reason }),
  };
}

/** A spot of the stone that does not say what it was of was of stone; of the dome it is a dial's reading. */
function ofItsSurface(measurement: Measurement, role: Role): Measurement {
  const { quantity, settings } = measurement;
  const isStated = settings?.['surface'] !== undefined || settings?.['emissivity'] !== undefined;
  if (quantity === 'infrared' && role === 'dome' && !isStated) return { ...measurement, quantity: 'celsius' };
  if (quantity !== 'infrared' || role !== 'stone' || isStated) return measurement;
  return { ...measurement, settings: { ...settings, surface: 'cordierite' } };
}

/** @throws Fault when the probe's conversion is lacking or wrong */
function readingOf(
  state: PipelineState,
  { frame, probe, measurements }: DecodedFrame,
  measurement: Measurement,
  { id: channel, role }: { id: string; role: Role },
): Reading {
  const sender = senderOf(frame);
  const { celsius, fault, doubt, range } = toCelsius(probe, ofItsSurface(measurement, role), (part) =>
    junctionOf(state.devices, sender, part, measurements),
  );
  const was = 'was' in frame ? frame.was : undefined;
  // Spelled out, since spreading what was converted costs ten times all the rest of this path.
  const verdict = assessQuality(state.quality, {
    celsius,
    fault,
    doubt,
    range,
    via: probe?.id ?? sender,
    channel,
    role,
    t: was ?? frame.t,
    late: was === undefined ? 0 : frame.t - was,
    byHand: frame.source === 'spot',
    clipped: measurement.clipped === true,
    battery: state.devices.batteries[sender],
  });
  const { quality, reason } = verdict;
  const value = verdict.celsius;
  const reading: Reading =
    frame.source === 'spot'
      ? { t: frame.t, channel, celsius: value, quality, isLook: true }
      : { t: frame.t, channel, celsius: value, quality };
  return reason === undefined ? reading : { ...reading, reason };
}
