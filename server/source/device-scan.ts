import type { Decoder, Session } from '../decoder/decoder.ts';
import type { Frame } from '../../shared/recording.ts';
import { systemClock, type Clock } from './timing.ts';
import type { Device, FrameBody, Part, Source, SourceStatus } from './source.ts';

/** One value that a device offers; `celsius` is null where it says "no value" or where it is no temperature. */
export type Offer = { decoder: string; label: string; celsius: number | null };

/** A row of `peelside scan --json`. */
export type ScanRow = {
  transport: 'ble' | 'serial';
  id: string;
  name: string;
  rssi?: number;
  battery?: number;
  offers: Offer[];
  problem?: string;
};

type ScanResult = {
  rows: ScanRow[];
  /** Why a transport could not scan, each with its remedy. */
  errors: { transport: string; problem: string; remedy: string }[];
};

type ScanOptions = {
  sources: readonly Source[];
  seconds: number;
  /** The decoder that reads such a frame, if any does. */
  decoderFor(frame: Frame): Decoder | null;
  clock?: Clock;
};

/** Services of the open standards for temperature. */
const THERMOMETER_SERVICES = ['1809', '181a'];

/** Whether a device without a probe should be connected to (or its port opened) to see what it offers. */
export function worthALook(device: Device): boolean {
  if (device.link !== 'seen' || device.problem !== undefined) return false;
  if (device.id.startsWith('usb:')) return true;
  return (device.parts ?? []).some((part) => THERMOMETER_SERVICES.includes(part.service ?? ''));
}

/** Looks for so many seconds at everything in reach, and says what each offers. Stops the sources after. */
export async function scan({
  sources,
  seconds,
  decoderFor,
  clock = systemClock,
}: ScanOptions): Promise<ScanResult> {
  const statuses = new Map<Source, SourceStatus>();
  const offers = createOffers(decoderFor);
  const until = clock.now() + seconds * 1000;
  for (const source of sources)
    source.start({
      frame: (body) => offers.take(body),
      status: (status) => {
        if (status.state === 'off') return;
        statuses.set(source, status);
        const left = (until - clock.now()) / 1000;
        if (left > 0) for (const device of status.devices.filter(worthALook)) lookAt(source, device, left);
      },
    });
  await new Promise<void>((resolve) => void clock.after(seconds * 1000, resolve));
  const result = summarise([...statuses.values()], offers);
  await Promise.all(sources.map((source) => source.stop()));
  return result;
}

function lookAt(source: Source, { id }: Device, seconds: number): void {
  if (source.kind === 'ble') source.look({ source: 'ble', device: id }, seconds);
  if (source.kind === 'serial') source.look({ source: 'serial', port: id }, seconds);
}

function summarise(statuses: readonly SourceStatus[], offers: Offers): ScanResult {
  const rows = statuses.flatMap(({ source, devices }) =>
    source === 'ble' || source === 'serial'
      ? devices.map((device) => rowOf(source, device, offers.of(device))).filter(isThermometer)
      : [],
  );
  const errors = statuses.flatMap(({ source, problem, remedy }) =>
    problem === undefined ? [] : [{ transport: source, problem, remedy: remedy ?? '' }],
  );
  return { rows, errors };
}

/** Phones and watches in reach are nobody's business; a serial port may yet become one. */
const isThermometer = (row: ScanRow): boolean =>
  row.transport === 'serial' || row.offers.length > 0 || row.problem !== undefined;

function rowOf(transport: 'ble' | 'serial', device: Device, offers: Offer[]): ScanRow {
  const { id, name = '', rssi, battery, problem } = device;
  return {
    transport,
    id,
    name,
    ...(rssi !== undefined && { rssi }),
    ...(battery !== undefined && { battery }),
    offers,
    ...(problem !== undefined && { problem }),
  };
}

type Offers = { take(body: FrameBody): void; of(device: Device): Offer[] };
type Sample = { part: Omit<Part, 'name' | 'format'>; offer: Offer };

/** The last sample of each value, by device. */
function createOffers(decoderFor: ScanOptions['decoderFor']): Offers {
  const sessions = new Map<string, Session>();
  const samples = new Map<string, Map<string, Sample>>();
  return {
    take(body) {
      if (body.source !== 'ble' && body.source !== 'serial') return;
      const frame: Frame = { ...body, t: 0 };
      const decoder = decoderFor(frame);
      if (!decoder) return;
      const id = body.source === 'ble' ? body.device : body.port;
      const part = partOf(body);
      const place = JSON.stringify([part, decoder.name]);
      const session = sessions.get(id + place) ?? {};
      sessions.set(id + place, session);
      for (const each of offersOf(decoder, frame, session)) {
        const ofDevice = samples.get(id) ?? new Map<string, Sample>();
        samples.set(id, ofDevice.set(place + each.label, { part, offer: each }));
      }
    },
    of: (device) => [...(samples.get(device.id)?.values() ?? [])].map((each) => named(each, device)),
  };
}

function offersOf(decoder: Decoder, frame: Frame, session: Session): Offer[] {
  try {
    return decoder
      .decode(frame, {}, session)
      .filter((each) => each.quantity !== 'battery')
      .map(({ part, quantity, value }) => ({
        decoder: decoder.name,
        label: part ? `${decoder.label} ${part}` : decoder.label,
        celsius: quantity === 'celsius' ? value : null,
      }));
  } catch {
    // A damaged frame, or one that needs a key: it offers something all the same.
    return [{ decoder: decoder.name, label: decoder.label, celsius: null }];
  }
}

function partOf(body: FrameBody): Sample['part'] {
  if (body.source !== 'ble') return {};
  const { service, characteristic, instance, advert } = body;
  return { service, characteristic, instance, advert };
}

/** By the name that the device itself has for the value, where it has one. */
function named({ part, offer }: Sample, device: Device): Offer {
  const described = (device.parts ?? []).find(
    (candidate) =>
      candidate.service === part.service &&
      candidate.characteristic === part.characteristic &&
      candidate.instance === part.instance,
  );
  return described?.name ? { ...offer, label: described.name } : offer;
}
