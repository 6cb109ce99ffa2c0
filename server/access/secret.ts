import { createHash, randomBytes, randomInt, timingSafeEqual } from 'node:crypto';

/** Digits of a code that lets a device in: 10^8 of them, 26 bits, and few tries. */
const CODE_DIGITS = 8;

/** Uniform over all codes. */
export const newCode = (): string => String(randomInt(10 ** CODE_DIGITS)).padStart(CODE_DIGITS, '0');
/** What the device keeps: 256 random bits. */
export const newToken = (): string => randomBytes(32).toString('base64url');
/** What the server keeps of a token. A random 256-bit secret needs no salt and no slow hash: nobody can guess it. */
export const hashOf = (secret: string): string => createHash('sha256').update(secret).digest('base64url');

/** In a time that tells nothing of where they differ, nor of their lengths. */
export const same = (a: string, b: string): boolean =>
  timingSafeEqual(createHash('sha256').update(a).digest(), createHash('sha256').update(b).digest());
