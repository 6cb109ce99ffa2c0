import { computed, signal } from '@preact/signals';
import type { Probe } from '../../../shared/probe.ts';
import type {
  Calibrate,
  NewProbe,
  PatchProbe,
  ProbeChoices,
  ListedDevice,
  DeviceValue,
  DeviceList,
  Tried,
  TryReading,
} from '../../../shared/api/devices.ts';
import { call } from '../../api.ts';
import { amend, attempt, inTurn, offerUndo } from '../act/acts.ts';
import { now } from '../live.ts';
import { inOrder, keyOf, samePlace } from './device-words.ts';

/** What is in reach, asked for each second while a page that shows it is open, and what a person does with it. */

const REFRESH_MS = 1000;

export const deviceList = signal<DeviceList | null>(null);
export const choices = signal<ProbeChoices | null>(null);

export const probes = computed<Probe[]>(() => deviceList.value?.probes ?? []);
export const probeOf = (id: string | null): Probe | undefined =>
  probes.value.find((probe) => probe.id === id);

/** Places that a probe can measure; a cook that has not begun will have these two. */
export const places = computed<readonly (readonly [id: string, name: string])[]>(() => {
  const channels = now.value?.channels ?? [];
  if (channels.length > 0) return channels.map(({ id, name }) => [id, name] as const);
  return [
    ['stone', 'Stone'],
    ['dome', 'Dome'],
  ];
});
export const placeName = (channel: string | null): string =>
  places.value.find(([id]) => id === channel)?.[1] ?? channel ?? 'Not used';

/** @returns the way to stop asking */
export function watchDevices(): () => void {
  const off = new AbortController();
  void ask(off.signal);
  if (!choices.value) void loadChoices();
  return () => off.abort();
}

async function ask(off: AbortSignal): Promise<void> {
  while (!off.aborted) {
    await refresh(off);
    await new Promise((resolve) => setTimeout(resolve, REFRESH_MS));
  }
}

/** A missing answer is shown by the band of the live line, not once a second more. */
async function refresh(off?: AbortSignal): Promise<void> {
  const answer = await fetchDevices(off);
  if (!answer || off?.aborted) return;
  deviceList.value = { ...answer, devices: inOrder(deviceList.value?.devices ?? [], answer.devices) };
}

/** Who may only look sees what others look for. */
const fetchDevices = (off?: AbortSignal): Promise<DeviceList | null> =>
  call<DeviceList>('POST', '/api/reach', {}, off)
    .catch(() => call<DeviceList>('GET', '/api/reach', undefined, off))
    .catch(() => null);

async function loadChoices(): Promise<void> {
  choices.value = await attempt('choices', () => call<ProbeChoices>('GET', '/api/probes/choices'));
}

const pathOf = (id: string): string => `/api/probes/${encodeURIComponent(id)}`;

/** A probe as a patch that brings back exactly this. */
const whole = ({ channel, address, ...rest }: Probe): PatchProbe => ({
  channel,
  address,
  name: rest.name ?? null,
  decoder: rest.decoder ?? null,
  options: rest.options ?? null,
  conversion: rest.conversion ?? null,
  calibration: rest.calibration ?? null,
  tolerance: rest.tolerance ?? null,
});

const putBack =
  (before: readonly Probe[], added: string | null = null) =>
  async (): Promise<void> => {
    if (added !== null) await call('DELETE', pathOf(added));
    for (const probe of before) await call('PATCH', pathOf(probe.id), whole(probe));
    await refresh();
  };

/** Probes that lose their channel when another gets it. */
const displaced = (channel: string | null | undefined, but: string | null): Probe[] =>
  channel == null ? [] : probes.value.filter((probe) => probe.channel === channel && probe.id !== but);

async function change(probe: Probe, patch: PatchProbe, label: string): Promise<boolean> {
  const before = [probe, ...displaced(patch.channel, probe.id)];
  const changed = await amend(`probe ${probe.id}`, () => call<Probe>('PATCH', pathOf(probe.id), patch));
  if (changed) offerUndo(label, putBack(before));
  await refresh();
  return changed !== null;
}

/** Changes are made one after the other, each by the list that shows the one before: a finger is faster than an answer. */
const LINE = 'probes';

/** @returns the probe, or null where it was refused */
export const addProbe = (probe: NewProbe, label: string): Promise<Probe | null> =>
  inTurn(LINE, () => add(probe, label));

async function add(probe: NewProbe, label: string): Promise<Probe | null> {
  const before = displaced(probe.channel, null);
  const added = await attempt(`add ${JSON.stringify(probe.address)}`, () =>
    call<Probe>('POST', '/api/probes', probe),
  );
  if (added) offerUndo(label, putBack(before, added.id));
  await refresh();
  return added;
}

/** How another value of the same place is read, which goes for this one too: a key, a mapping, columns. */
function readsBeside(value: DeviceValue): Pick<Probe, 'decoder' | 'options'> {
  const beside = probes.value.find((probe) => samePlace(probe.address, value.address));
  return { decoder: beside?.decoder, options: beside?.options };
}

const messageOf = (channel: string | null): string =>
  channel === null ? 'Not used any more' : `Given to ${placeName(channel)}`;

/** One tap: this value is the stone's, the dome's, or nobody's. @returns whether it was kept */
export const give = (
  value: DeviceValue,
  channel: string | null,
  reads: Partial<NewProbe> = {},
): Promise<boolean> =>
  inTurn(LINE, async () => {
    const probe = probeFor(value);
    if (probe) return change(probe, { ...reads, channel, address: value.address }, messageOf(channel));
    if (channel === null) return false;
    const of = { ...readsBeside(value), ...reads, channel, address: value.address };
    return (await add(of, messageOf(channel))) !== null;
  });

/** The probe of a value as the list has it now; what was tapped may be older. */
function probeFor(value: DeviceValue): Probe | undefined {
  const values = deviceList.value?.devices.flatMap((device) => device.values) ?? [];
  const latest = values.find((other) => keyOf(other) === keyOf(value)) ?? value;
  return probeOf(latest.probe);
}

/** Says how a value is to be read, whether or not it is given to anything yet. */
export const readAs = (value: DeviceValue, reads: Partial<NewProbe>, label: string): Promise<unknown> =>
  inTurn(LINE, async () => {
    const probe = probeFor(value);
    if (probe) return change(probe, reads, label);
    return add({ ...readsBeside(value), ...reads, channel: null, address: value.address }, label);
  });

export const giveProbe = (probe: Probe, channel: string | null): Promise<boolean> =>
  change(probe, { channel }, messageOf(channel));

export const renameProbe = (probe: Probe, name: string): Promise<boolean> =>
  change(probe, { name: name || null }, name ? `Called “${name}”` : 'Name removed');

export const setTolerance = (probe: Probe, tolerance: string): Promise<boolean> =>
  change(probe, { tolerance: tolerance || null }, tolerance || 'No tolerance class');

export const setConversion = (probe: Probe, conversion: Probe['conversion'] | null): Promise<boolean> =>
  change(probe, { conversion }, 'Sensor saved');

export async function swapProbes(a: Probe, b: Probe): Promise<void> {
  const swap = (): Promise<unknown> => call('POST', '/api/probes/swap', { a: a.id, b: b.id });
  const done = await attempt('swap', swap);
  if (done)
    offerUndo('Swapped', async () => {
      await swap();
      await refresh();
    });
  await refresh();
}

export async function forgetProbe(probe: Probe, name: string): Promise<void> {
  const { id, ...rest } = probe;
  const done = await attempt(`forget ${id}`, () => call('DELETE', pathOf(id)));
  if (done)
    offerUndo(`${name} forgotten`, async () => {
      await call('POST', '/api/probes', rest);
      await refresh();
    });
  await refresh();
}

/** @returns the probe with what the calibration is worth in `how`, or null when it was refused */
export async function calibrateProbe(probe: Probe, how: Calibrate): Promise<Probe | null> {
  const done = await amend(`calibrate ${probe.id}`, () =>
    call<Probe>('POST', `${pathOf(probe.id)}/calibrate`, how),
  );
  if (done) offerUndo(how.by === 'nothing' ? 'Calibration removed' : 'Calibrated', putBack([probe]));
  await refresh();
  return done;
}

/** Connects for a minute; renewed by the server while a page asks what is in reach. */
export const lookAt = (
  device: Pick<ListedDevice, 'source' | 'id'>,
  options: Record<string, unknown> = {},
): Promise<unknown> =>
  attempt(`look ${device.id}`, () =>
    call('POST', '/api/reach/look', { source: device.source, id: device.id, options }),
  );

/** Reads a frame by what is being built; a refusal is the answer's `problem`, not an error. */
export async function tryRead(reading: TryReading, signal?: AbortSignal): Promise<Tried> {
  try {
    return await call<Tried>('POST', '/api/reach/try', reading, signal);
  } catch (error) {
    const problem = error instanceof Error ? error.message : String(error);
    return { decoder: null, label: '', values: [], problem };
  }
}
