import { plainUuid as shortUuid } from '../../decoder/ble/uuid.ts';

/** One spelling for each UUID, as the decoders have it; the library drops leading zeros. */
export const plainUuid = (text: string): string => shortUuid(text).padStart(4, '0');

/** 16, 32 or 128 bits; anything else is what a truncated advertisement left. */
export const isUuid = (digits: string): boolean => /^([0-9a-f]{4}|[0-9a-f]{8}|[0-9a-f]{32})$/.test(digits);
