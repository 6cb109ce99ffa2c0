import { MAX_PHOTO_BYTES, PHOTO_PIXELS } from '../../shared/evening/photo.ts';

/** Where a smaller picture is still too large, JPEG quality and size go down step by step. */
const SHRINK_STEPS = [
  [1, 0.82],
  [1, 0.68],
  [0.75, 0.7],
  [0.5, 0.7],
  [0.35, 0.6],
] as const;

/**
 * A photo drawn anew, small: nothing of the file goes along but what is seen, as base64 of a JPEG.
 * @throws Error in words where the browser can't read the picture
 */
export async function shrunkPhoto(file: Blob): Promise<string> {
  const picture = await createImageBitmap(file).catch(() => {
    throw new Error('This picture can’t be read here: take it as JPEG or PNG.');
  });
  const whole = Math.min(1, PHOTO_PIXELS / Math.max(picture.width, picture.height));
  for (const [scale, quality] of SHRINK_STEPS) {
    const jpeg = await drawn(picture, whole * scale, quality);
    if (jpeg && jpeg.size <= MAX_PHOTO_BYTES) return base64Of(jpeg);
  }
  throw new Error('This picture can’t be made small enough: take another one.');
}

function drawn(picture: ImageBitmap, scale: number, quality: number): Promise<Blob | null> {
  const canvas = document.createElement('canvas');
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext('2d')?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', quality));
}

export async function base64Of(blob: Blob): Promise<string> {
  let text = '';
  for (const byte of new Uint8Array(await blob.arrayBuffer())) text += String.fromCharCode(byte);
  return btoa(text);
}
