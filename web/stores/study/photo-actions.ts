import type { Photo, PhotoPart } from '../../../shared/evening/photo.ts';
import { call } from '../../api.ts';
import { base64Of, shrunkPhoto } from '../../lib/shrink.ts';
import { attempt, offerUndo, actionError } from '../act/acts.ts';
import { opened } from '../past.ts';

/** Photos of pizzas: taken, made small, sent, and deleted. */

export const photoPath = (cook: number, id: string): string => `/api/cooks/${cook}/photos/${id}`;

const send = (cook: number, pizza: string, part: PhotoPart, jpeg: string): Promise<Photo> =>
  call<Photo>('POST', `/api/cooks/${cook}/pizzas/${encodeURIComponent(pizza)}/photos`, { part, jpeg });

function show(cookId: number, pizzaId: string, change: (photos: readonly Photo[]) => Photo[]): void {
  const cook = opened.value;
  if (cook?.id !== cookId) return;
  opened.value = {
    ...cook,
    run: cook.run.map((baked) =>
      baked.pizza.id === pizzaId ? { ...baked, photos: change(baked.photos) } : baked,
    ),
  };
}

export async function addPhoto(cook: number, pizza: string, part: PhotoPart, file: Blob): Promise<void> {
  const jpeg = await shrunkPhoto(file).catch((error: unknown) => {
    actionError.value = error instanceof Error ? error.message : 'This picture can’t be read.';
    return null;
  });
  if (jpeg === null) return;
  const photo = await attempt(`photo ${pizza} ${part}`, () => send(cook, pizza, part, jpeg));
  if (photo) show(cook, pizza, (photos) => [...photos, photo]);
}

export async function deletePhoto(cook: number, pizza: string, { id, part }: Photo): Promise<void> {
  const done = await attempt(`delete photo ${id}`, async () => {
    const jpeg = await base64Of(await (await fetch(photoPath(cook, id))).blob());
    await call('DELETE', photoPath(cook, id));
    return jpeg;
  });
  if (done === null) return;
  show(cook, pizza, (photos) => photos.filter((photo) => photo.id !== id));
  offerUndo('Photo deleted', async () => {
    const again = await send(cook, pizza, part, done);
    show(cook, pizza, (photos) => [...photos, again]);
  });
}
