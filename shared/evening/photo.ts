import { z } from 'zod';
import { lookupName } from '../bounds.ts';

/** A photo of a pizza, beside its verdict: from above or of the base. */
export const PHOTO_PARTS = ['top', 'base'] as const;
export type PhotoPart = (typeof PHOTO_PARTS)[number];

/** Largest JPEG, bytes; the page makes it so small before it is sent. */
export const MAX_PHOTO_BYTES = 200 * 1024;
export const MAX_PHOTOS_OF_PIZZA = 4;
export const MAX_PHOTOS_OF_COOK = 100;
/** Longest side, pixels. */
export const PHOTO_PIXELS = 1280;

/**
 * base64 (RFC 4648) of a JPEG; a little more than the largest, so that what is too large is distinguished
 * from nonsense.
 */
const jpeg = z.base64().max(2 * Math.ceil((MAX_PHOTO_BYTES * 4) / 3));

export const newPhoto = z.object({ part: z.enum(PHOTO_PARTS), jpeg });
export const photo = z.object({
  id: z.string(),
  part: z.enum(PHOTO_PARTS),
  /** When it was taken in. */
  at: z.iso.datetime(),
});
export type Photo = z.infer<typeof photo>;

/** A line of an exported cook. */
export const photoLine = z.object({
  t: z.number().min(0),
  photo: lookupName(64),
  pizza: lookupName(64),
  part: z.enum(PHOTO_PARTS),
  at: z.iso.datetime(),
  jpeg,
});
export type PhotoLine = z.infer<typeof photoLine>;
