import type { Probe } from '../../shared/probe.ts';
import type { Measurement } from '../decoder/decoder.ts';

/** What is known of the devices themselves, beside their readings; plain JSON, by sender. */
export type DeviceState = {
  /** Last battery level, percent. */
  batteries: Record<string, number>;
  /** Devices whose low battery was reported. */
  low: Record<string, boolean>;
  /** Last cold junction, °C, by sender and part, for boards that send it in a line of its own. */
  junctions: Record<string, number>;
};
export const noDevices = (): DeviceState => ({ batteries: {}, low: {}, junctions: {} });

/** Percent at which it is reported, and above which a changed battery may be reported again. */
const LOW_BATTERY_PERCENT = 15;
const CHANGED_BATTERY_PERCENT = 20;

/** Takes note of batteries and cold junctions. @returns what a person should know, once */
export function note(
  state: DeviceState,
  sender: string,
  measurements: readonly Measurement[],
  probes: readonly Probe[],
): string[] {
  return measurements.flatMap((measurement) => {
    if (measurement.quantity === 'battery') return noteBattery(state, sender, measurement);
    if (measurement.value !== null && isJunctionOf(measurement, probes))
      state.junctions[`${sender} ${measurement.part}`] = measurement.value;
    return [];
  });
}

function noteBattery(state: DeviceState, sender: string, { value, fault }: Measurement): string[] {
  if (value !== null) state.batteries[sender] = value;
  if (value !== null && value > CHANGED_BATTERY_PERCENT) delete state.low[sender];
  const isLow = value === null ? fault !== undefined : value <= LOW_BATTERY_PERCENT;
  if (!isLow || state.low[sender]) return [];
  state.low[sender] = true;
  const level = value === null ? (fault ?? '') : `its battery is at ${value} %`;
  return [`${sender}: ${level}. Change it before it stops.`];
}

/** Only what a conversion asks for is kept: a board may send any number of names. */
const isJunctionOf = ({ part }: Measurement, probes: readonly Probe[]): boolean =>
  probes.some((probe) => probe.conversion?.['junction'] === part);

/** The cold junction, °C: the part that the conversion names, else any that the device calls one. */
export function junctionOf(
  { junctions }: DeviceState,
  sender: string,
  part: string | undefined,
  measurements: readonly Measurement[],
): number | null {
  const here = measurements.find((measurement) =>
    part === undefined ? measurement.quantity === 'junction' : measurement.part === part,
  );
  if (here) return here.value;
  return part === undefined ? null : (junctions[`${sender} ${part}`] ?? null);
}
