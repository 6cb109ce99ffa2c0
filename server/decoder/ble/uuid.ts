import type { BleLine, Frame } from '../../../shared/recording.ts';

/** Tail of the Bluetooth base UUID: 16-bit numbers are short for 0000xxxx-0000-1000-8000-00805f9b34fb. */
const BASE_TAIL = '00001000800000805f9b34fb';

/** One spelling for each UUID: lower case, no dashes, four digits where it is a 16-bit number. */
export function plainUuid(text: string): string {
  const digits = text.toLowerCase().replace(/^0x/, '').replaceAll('-', '');
  const short = digits.length === 32 && digits.startsWith('0000') && digits.endsWith(BASE_TAIL);
  return short ? digits.slice(4, 8) : digits;
}

/** A value of one of these characteristics. */
export function isOfCharacteristic(frame: Frame, ...uuids: readonly string[]): frame is BleLine {
  return (
    frame.source === 'ble' &&
    frame.characteristic !== undefined &&
    uuids.includes(plainUuid(frame.characteristic))
  );
}

/** Service data of that UUID in an advertisement. */
export function isAdvertOf(frame: Frame, uuid: string): frame is BleLine {
  return frame.source === 'ble' && frame.advert !== undefined && plainUuid(frame.advert) === uuid;
}
