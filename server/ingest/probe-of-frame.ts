import type { Probe } from '../../shared/probe.ts';
import type { Frame } from '../../shared/recording.ts';
import type { Measurement } from '../decoder/decoder.ts';
import { decoderFor } from '../decoder/decoder-list.ts';
import { deviceOf, isAddressed } from './device-address.ts';

/** The device or port that sent a frame; the channel's name for what is typed or posted. */
export function senderOf(frame: Frame): string {
  if (frame.source === 'ble') return `ble ${deviceOf(frame)}`;
  if (frame.source === 'serial') return `serial ${frame.port}`;
  if (frame.source === 'mqtt') return `mqtt ${frame.topic}`;
  return `${frame.source ?? 'replay'} ${frame.channel}`;
}

/** The value that a probe names; without a name the first that is a temperature or leads to one. */
export function pick(probe: Probe | null, measurements: readonly Measurement[]): Measurement | undefined {
  const part = probe && 'part' in probe.address ? probe.address.part : undefined;
  return measurements.find(
    (measurement) =>
      measurement.quantity !== 'battery' &&
      (part === undefined ? measurement.quantity !== 'junction' : measurement.part === part),
  );
}

/** Probes that read a frame by one decoder with one set of options: it is decoded once for all of them. */
export type Group = {
  /** Tells it apart from the other groups of its sender. */
  key: string;
  decoder: string | undefined;
  options: Record<string, unknown>;
  probes: Probe[];
};

/** Whether the probe says where in its device; if not, it is for whatever of it can be read. */
export const namesPlace = ({ address }: Probe): boolean =>
  address.source !== 'ble' || address.characteristic !== undefined || address.advert !== undefined;

/** A decoder that the probe names reads what it was not made for only where the probe says so. */
function reads(probe: Probe, frame: Frame): boolean {
  if (probe.decoder === undefined || namesPlace(probe)) return true;
  const decoder = decoderFor(frame, probe.decoder);
  return !decoder || decoder.name === MAPPING || decoder.matches(frame);
}
/** It looks itself whether the frame is one of those that it is for. */
const MAPPING = 'mapping';

export function groupsOf(all: readonly Probe[], frame: Frame): Group[] {
  const probes = all.filter((probe) => isAddressed(probe.address, frame) && reads(probe, frame));
  if (probes.length === 0) return [];
  const found = new Map<string, Group>();
  // A key or mapping given for one probe of a device serves its other probes.
  const shared = probes.find((probe) => probe.options !== undefined)?.options ?? NO_OPTIONS;
  for (const probe of probes) {
    const decoder = decoderFor(frame, probe.decoder)?.name;
    const options = probe.options ?? shared;
    const key = `${decoder} ${options === shared ? '' : JSON.stringify(options)}`;
    const group = found.get(key) ?? { key, decoder, options, probes: [] };
    group.probes.push(probe);
    found.set(key, group);
  }
  return [...found.values()];
}
const NO_OPTIONS: Record<string, unknown> = {};
