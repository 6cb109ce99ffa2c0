import { z } from 'zod';
import { newPhoto, photo } from '../../../shared/evening/photo.ts';
import { findCook } from '../../cook/history/cook-history.ts';
import { addPhoto, readPhoto } from '../../cook/history/photos.ts';
import { done, route, type Route } from '../route.ts';
import type { RouteParts } from './route-parts.ts';

const name = z.string().min(1).max(64);
const cookId = z.object({ id: z.coerce.number().int().min(1) });
const photoId = cookId.extend({ photo: name });

export const photoRoutes = ({ session, store }: RouteParts): Route[] => [
  route('POST /api/cooks/:id/pizzas/:pizza/photos', {
    summary: 'Adds a photo of a pizza, a JPEG of at most 200 kB; nothing but the picture itself is stored.',
    params: cookId.extend({ pizza: name }),
    body: newPhoto,
    status: 201,
    answer: photo,
    act: async ({ params: { id, pizza }, body }) => {
      findCook(store, id);
      const added = addPhoto(store, id, { ...body, pizza, at: session.wall() });
      await store.persisted();
      return added;
    },
  }),
  route('GET /api/cooks/:id/photos/:photo', {
    summary: 'A photo.',
    params: photoId,
    givesFile: 'image/jpeg',
    act: ({ params }) => readPhoto(store, params.id, params.photo),
  }),
  route('DELETE /api/cooks/:id/photos/:photo', {
    summary: 'Deletes a photo.',
    params: photoId,
    answer: done,
    act: async ({ params }) => {
      readPhoto(store, params.id, params.photo);
      store.removePhoto(params.id, params.photo);
      await store.persisted();
    },
  }),
];
