/** Tail of the Bluetooth base UUID: 16-bit numbers are short for 0000xxxx-0000-1000-8000-00805f9b34fb. */
const BASE_TAIL = '00001000800000805f9b34fb';

/** One spelling for each UUID: lower case, no dashes, four digits where it is a 16-bit number. */
export function plainUuid(text: string): string {
  const digits = text.toLowerCase().replace(/^0x/, '').replaceAll('-', '');
  const short = digits.length === 32 && digits.startsWith('0000') && digits.endsWith(BASE_TAIL);
  return short ? digits.slice(4, 8) : digits.padStart(4, '0');
}

/** 16, 32 or 128 bits; anything else is what a truncated advertisement left. */
export const isUuid = (digits: string): boolean => /^([0-9a-f]{4}|[0-9a-f]{8}|[0-9a-f]{32})$/.test(digits);
