import { encodeQR } from 'qr';

/** An address as a QR code (ISO/IEC 18004), for a screen. */
export const qrSvg = (text: string): string => encodeQR(text, 'svg', { ecc: 'medium', border: 4 });
/** The same for a terminal. */
export const qrTerminal = (text: string): string => encodeQR(text, 'term', { ecc: 'low', border: 2 });
