import {
  MAX_PHOTOS_OF_COOK,
  MAX_PHOTOS_OF_PIZZA,
  type Photo,
  type PhotoLine,
  type PhotoPart,
} from '../../../shared/evening/photo.ts';
import { Fault } from '../../../shared/fault.ts';
import type { Store, StoredPhoto } from '../../store/store.ts';
import { plainJpeg } from './jpeg.ts';

/** Photos of pizzas: taken in, stripped of all but the picture, and given out again. */

export const photoOf = ({ id, part, at }: StoredPhoto): Photo => ({
  id,
  part,
  at: new Date(at).toISOString(),
});

/**
 * @param at ms since the epoch
 * @throws Fault `invalid` or `too-large` as `plainJpeg`, `conflict` where there are enough, `not-found` without such a pizza
 */
export function addPhoto(
  store: Store,
  cook: number,
  { pizza, part, jpeg, at }: { pizza: string; part: PhotoPart; jpeg: string; at: number },
): Photo {
  if (!store.pizzas(cook).some(({ id }) => id === pizza))
    throw new Fault('not-found', `There is no pizza "${pizza}" in cook ${cook}.`);
  const there = store.photos(cook);
  if (there.length >= MAX_PHOTOS_OF_COOK)
    throw new Fault('conflict', `A cook has at most ${MAX_PHOTOS_OF_COOK} photos: delete one first.`);
  if (there.filter((photo) => photo.pizza === pizza).length >= MAX_PHOTOS_OF_PIZZA)
    throw new Fault('conflict', `A pizza has at most ${MAX_PHOTOS_OF_PIZZA} photos: delete one first.`);
  const plain = plainJpeg(Buffer.from(jpeg, 'base64'));
  const last = Math.max(0, ...there.map(({ id }) => Number(/^f(\d+)$/.exec(id)?.[1] ?? 0)));
  const photo: StoredPhoto = { id: `f${last + 1}`, pizza, part, at };
  store.addPhoto(cook, photo, plain);
  return photoOf(photo);
}

/** @throws Fault `not-found` */
export function readPhoto(store: Store, cook: number, id: string): Uint8Array {
  const jpeg = store.photo(cook, id);
  if (!jpeg) throw new Fault('not-found', `There is no photo "${id}" in cook ${cook}.`);
  return jpeg;
}

/** The photos of a cook as lines of its export. @param t s, not before its last line */
export function* photoLines(store: Store, cook: number, t: number): Generator<PhotoLine> {
  for (const { id, pizza, part, at } of store.photos(cook)) {
    const jpeg = Buffer.from(store.photo(cook, id) ?? []).toString('base64');
    yield { t, photo: id, pizza, part, at: new Date(at).toISOString(), jpeg };
  }
}

/** @throws Fault where it is no photo */
export function takePhotoLine(
  store: Store,
  cook: number,
  { photo: id, pizza, part, at, jpeg }: PhotoLine,
): void {
  if (store.photos(cook).length >= MAX_PHOTOS_OF_COOK)
    throw new Fault('invalid', `a cook has at most ${MAX_PHOTOS_OF_COOK} photos`);
  store.addPhoto(cook, { id, pizza, part, at: Date.parse(at) }, plainJpeg(Buffer.from(jpeg, 'base64')));
}
