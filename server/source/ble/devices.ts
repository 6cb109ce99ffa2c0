import type { BleLine } from '../../../shared/recording.ts';
import type { Device, Part } from '../source.ts';
import type { Advert, Link } from './radio.ts';
import type { Memory, Session } from './session.ts';

/** What the keeper knows of one device. Times are of its clock, ms. */
export type Known = {
  id: string;
  device: Device;
  heardAt: number;
  connectable: boolean;
  link: Link | null;
  session: Session | null;
  memory: Memory;
  linkedAt: number;
  failures: number;
  retryAt: number;
  /** What was told of each of its adverts, and when. */
  told: Map<string, { bytes: string; at: number }>;
};

/** In a block of flats hundreds of addresses pass by in an evening; these many are kept. */
export const MOST_DEVICES = 300;
/** An advert has room for few values; what keeps changing its kind is not kept apart for ever. */
const MOST_ADVERTS = 16;
const MOST_PARTS = 64;
/** A device that was not heard for so long is out of reach (ms): sleeping ones advertise a few times a minute. */
const LOST_AFTER = 25_000;
/** A device that nobody wants is dropped from the list after this, ms. */
const FORGET_AFTER = 120_000;

export function newKnown(id: string): Known {
  return {
    id,
    device: { id, link: 'seen' },
    heardAt: -Infinity,
    connectable: true,
    link: null,
    session: null,
    memory: { answersNames: true },
    linkedAt: 0,
    failures: 0,
    retryAt: 0,
    told: new Map(),
  };
}

/** Whether an advert should be told: a changed one at once where it is watched, the same again every `every` ms. */
function isDue(known: Known, advert: string, bytes: string, now: number, watched: boolean): boolean {
  const before = known.told.get(advert);
  const every = watched ? 1000 : 2000;
  if (before && now - before.at < every && (!watched || before.bytes === bytes)) return false;
  if (!before && known.told.size >= MOST_ADVERTS) known.told.clear();
  known.told.set(advert, { bytes, at: now });
  return true;
}

/** What of an advertisement is worth a frame now. */
export function dueFrames(known: Known, advert: Advert, now: number, watched: boolean): Omit<BleLine, 't'>[] {
  return advert.data.flatMap((one) => {
    const bytes = Buffer.from(one.bytes).toString('hex');
    if (!isDue(known, one.advert, bytes, now, watched)) return [];
    return [{ source: 'ble', device: known.id, advert: one.advert, rssi: advert.rssi, bytes }];
  });
}

/** Until it was connected to, what it advertises is all that is known of what it offers. */
export function noteParts(device: Device, advert: Advert): void {
  const before = device.parts ?? [];
  const told: Part[] = [
    ...advert.services.map((service) => ({ service })),
    ...advert.data.map((one) => ({ advert: one.advert })),
  ];
  const fresh = told.filter(
    (part) => !before.some((one) => one.service === part.service && one.advert === part.advert),
  );
  if (fresh.length > 0 && before.length < MOST_PARTS) device.parts = [...before, ...fresh];
}

/** Says of a wanted device that it is out of reach, where it is neither heard nor linked. */
export function noteUnheard({ device, heardAt, link }: Known, now: number): void {
  if (link || device.link === 'connecting' || now - heardAt <= LOST_AFTER) return;
  device.link = 'lost';
  device.problem =
    heardAt === -Infinity
      ? 'It has not been heard yet: is it switched on and near?'
      : 'It is not heard any more: is it switched on and near? It is taken up again when it is.';
}

/** 0x2A19: u8 percent, 101–255 reserved (handbook 4.3). */
export function noteBattery(device: Device, bytes: string): void {
  const percent = Number.parseInt(bytes.slice(0, 2), 16);
  if (percent <= 100) device.battery = percent;
}

/** Those to let go of: not heard for long, or the longest unheard of too many; never one that is wanted or linked. */
export function stale(all: Iterable<Known>, now: number, isWanted: (id: string) => boolean): Known[] {
  const idle = [...all].filter((known) => !known.link && !isWanted(known.id));
  const oldestFirst = idle.sort((a, b) => a.heardAt - b.heardAt);
  const tooMany = Math.max(0, idle.length - MOST_DEVICES);
  return oldestFirst.filter((known, i) => i < tooMany || now - known.heardAt > FORGET_AFTER);
}
