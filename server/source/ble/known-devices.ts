import type { BleLine } from '../../../shared/recording.ts';
import type { Device, Part } from '../source.ts';
import type { Advert, Link } from './radio/radio.ts';
import type { DeviceMemory, Session } from './session.ts';

/** What the connection manager knows of one device. Times are of its clock, ms. */
export type Known = {
  id: string;
  device: Device;
  seenAt: number;
  connectable: boolean;
  link: Link | null;
  session: Session | null;
  memory: DeviceMemory;
  linkedAt: number;
  failures: number;
  retryAt: number;
  /** What was last emitted of each of its adverts, and when. */
  emitted: Map<string, { bytes: string; at: number }>;
};

/** In a block of flats hundreds of addresses pass by in an evening; these many are kept. */
export const MAX_DEVICES = 300;
/** An advert has room for few values; what keeps changing its kind is not kept apart for ever. */
const MAX_ADVERTS = 16;
const MAX_PARTS = 64;
/**
 * A device without an advertisement for so long is out of range (ms): sleeping ones advertise a few times a
 * minute.
 */
const OUT_OF_RANGE_MS = 25_000;
/** A device without a subscription is dropped from the list after this, ms. */
const FORGET_AFTER_MS = 120_000;

export function newKnown(id: string): Known {
  return {
    id,
    device: { id, link: 'seen' },
    seenAt: -Infinity,
    connectable: true,
    link: null,
    session: null,
    memory: { answersNames: true },
    linkedAt: 0,
    failures: 0,
    retryAt: 0,
    emitted: new Map(),
  };
}

/**
 * Whether to emit an advert: a changed advert at once where it is watched, an unchanged advert every `every`
 * ms.
 */
function isDue(known: Known, advert: string, bytes: string, now: number, watched: boolean): boolean {
  const before = known.emitted.get(advert);
  const every = watched ? 1000 : 2000;
  if (before && now - before.at < every && (!watched || before.bytes === bytes)) return false;
  if (!before && known.emitted.size >= MAX_ADVERTS) known.emitted.clear();
  known.emitted.set(advert, { bytes, at: now });
  return true;
}

/** What of an advertisement is worth a frame now. */
export function dueFrames(known: Known, advert: Advert, now: number, watched: boolean): Omit<BleLine, 't'>[] {
  return advert.data.flatMap((each) => {
    const bytes = Buffer.from(each.bytes).toString('hex');
    if (!isDue(known, each.advert, bytes, now, watched)) return [];
    return [{ source: 'ble', device: known.id, advert: each.advert, rssi: advert.rssi, bytes }];
  });
}

/** Until it was connected to, what it advertises is all that is known of what it offers. */
export function noteParts(device: Device, advert: Advert): void {
  const before = device.parts ?? [];
  const parts: Part[] = [
    ...advert.services.map((service) => ({ service })),
    ...advert.data.map((each) => ({ advert: each.advert })),
  ];
  const fresh = parts.filter(
    (part) => !before.some((each) => each.service === part.service && each.advert === part.advert),
  );
  if (fresh.length > 0 && before.length < MAX_PARTS) device.parts = [...before, ...fresh];
}

/** Marks a subscribed device as out of range where it neither advertises nor is linked. */
export function markSilent({ device, seenAt, link }: Known, now: number): void {
  if (link || device.link === 'connecting' || now - seenAt <= OUT_OF_RANGE_MS) return;
  device.link = 'lost';
  device.problem =
    seenAt === -Infinity
      ? 'It has not been heard from yet: is it switched on and near?'
      : 'It is no longer heard from: is it switched on and near? It is taken up again when it is.';
}

/** 0x2A19: u8 percent, 101–255 reserved (Bluetooth SIG, Battery Service). */
export function noteBattery(device: Device, bytes: string): void {
  const percent = Number.parseInt(bytes.slice(0, 2), 16);
  if (percent <= 100) device.battery = percent;
}

/**
 * Devices to forget: silent for long, or the longest silent of too many; never a subscribed or linked device.
 */
export function stale(all: Iterable<Known>, now: number, isSubscribed: (id: string) => boolean): Known[] {
  const idle = [...all].filter((known) => !known.link && !isSubscribed(known.id));
  const oldestFirst = idle.sort((a, b) => a.seenAt - b.seenAt);
  const tooMany = Math.max(0, idle.length - MAX_DEVICES);
  return oldestFirst.filter((known, i) => i < tooMany || now - known.seenAt > FORGET_AFTER_MS);
}
