import fc from 'fast-check';
import { Readable } from 'node:stream';
import { beforeEach, describe, expect, it } from 'vitest';
import { plainJpeg } from '../../../server/cook/history/jpeg.ts';
import { exportCook } from '../../../server/cook/portable/cook-export.ts';
import { importCook } from '../../../server/cook/portable/cook-import.ts';
import { MAX_PHOTO_BYTES, MAX_PHOTOS_OF_PIZZA } from '../../../shared/evening/photo.ts';
import { Fault } from '../../../shared/fault.ts';
import { openApi, type Api } from '../../support/api.ts';
import { forAll } from '../../support/property.ts';

/** A JPEG put together by hand, as ITU-T T.81 annex B lays it out: what a camera adds, and one scan of made-up data. */
function handMadeJpeg({ place = 'N 12.345', pixels = 8, size = 20, tail = '' } = {}): Buffer {
  const segment = (marker: number, body: Buffer): Buffer => {
    const head = Buffer.from([0xff, marker, 0, 0]);
    head.writeUInt16BE(body.length + 2, 2);
    return Buffer.concat([head, body]);
  };
  const frame = Buffer.from([8, 0, 0, 0, 0, 1, 1, 0x11, 0]);
  frame.writeUInt16BE(pixels, 1);
  frame.writeUInt16BE(pixels, 3);
  return Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    segment(0xe0, Buffer.from('JFIF\0')),
    segment(0xe1, Buffer.from(`Exif\0\0${place}`)),
    segment(0xfe, Buffer.from(`a comment ${place}`)),
    segment(0xdb, Buffer.alloc(65)),
    segment(0xc0, frame),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    // A stuffed 0xFF and a restart marker lie within the scan.
    Buffer.from([0x12, 0xff, 0x00, 0x34, 0xff, 0xd0]),
    Buffer.alloc(size, 0x55),
    segment(0xe2, Buffer.from(`between scans ${place}`)),
    segment(0xda, Buffer.from([1, 1, 0, 0, 63, 0])),
    Buffer.from([0x56, 0x78, 0xff, 0xd9]),
    Buffer.from(tail),
  ]);
}

describe('a JPEG made plain', () => {
  it('loses where it was taken, wherever that stands, and nothing of the picture', () => {
    const plain = Buffer.from(plainJpeg(handMadeJpeg({ tail: 'N 12.345 after the end' })));
    expect(plain.includes('12.345')).toBe(false);
    expect(plain.includes('Exif')).toBe(false);
    const bare = handMadeJpeg({ place: '' });
    for (const marker of [0xdb, 0xc0, 0xda]) expect(plain.includes(Buffer.from([0xff, marker]))).toBe(true);
    expect(plain.includes(Buffer.from([0x12, 0xff, 0x00, 0x34, 0xff, 0xd0, 0x55]))).toBe(true);
    expect(plain.subarray(-4)).toEqual(Buffer.from([0x56, 0x78, 0xff, 0xd9]));
    expect(plainJpeg(plain)).toEqual(plain);
    expect(plain).toEqual(Buffer.from(plainJpeg(bare)));
  });

  it.each([
    ['a PNG', Buffer.from([137, 80, 78, 71, 13, 10, 26, 10])],
    ['nothing', Buffer.alloc(0)],
    ['a beginning alone', handMadeJpeg().subarray(0, 60)],
    ['a picture of no size', handMadeJpeg({ pixels: 0 })],
    ['a picture of 5000 pixels', handMadeJpeg({ pixels: 5000 })],
    ['one without a picture', Buffer.from([0xff, 0xd8, 0xff, 0xd9])],
  ])('is refused of %s', (_what, bytes) => expect(() => plainJpeg(bytes)).toThrow(Fault));

  it('is refused of what is too large', () => {
    expect(() => plainJpeg(handMadeJpeg({ size: MAX_PHOTO_BYTES }))).toThrow(/at most 200 kB/);
  });

  it('of whatever bytes is a picture or a Fault, and soon', () => {
    forAll({ seed: 5, numRuns: 500 }, fc.uint8Array({ maxLength: 300 }), fc.nat(200), (noise, cut) => {
      const bytes = Buffer.concat([handMadeJpeg().subarray(0, cut), noise]);
      try {
        expect(plainJpeg(bytes).length).toBeLessThanOrEqual(bytes.length);
      } catch (error) {
        expect(error).toBeInstanceOf(Fault);
      }
    });
  });
});

let api: Api;
beforeEach(async () => {
  api = await openApi();
});

const photo = (size = 20) => ({ part: 'top', jpeg: handMadeJpeg({ size }).toString('base64') });

async function baked(): Promise<{ cook: number; pizza: string }> {
  await api.works();
  const { body } = await api.ask('POST', '/api/pizzas', { name: 'Leek' });
  return { cook: api.session.cook?.id ?? 0, pizza: String(body['id']) };
}

type Run = { run: { photos: { id: string; part: string; at: string }[] }[] };

describe('photos of a pizza', () => {
  it('are stored without what they tell of place, shown beside the pizza, and deleted', async () => {
    const { cook, pizza } = await baked();
    const path = `/api/cooks/${cook}/pizzas/${pizza}/photos`;
    const added = await api.ask('POST', path, photo());
    expect([added.status, added.body]).toMatchObject([201, { id: 'f1', part: 'top' }]);
    const { run } = (await api.ask('GET', `/api/cooks/${cook}`)).body as Run;
    expect(run[0]?.photos).toMatchObject([{ id: 'f1', part: 'top' }]);
    const got = await api.app.inject({ url: `/api/cooks/${cook}/photos/f1`, headers: { host: 'localhost' } });
    expect(got.headers['content-type']).toBe('image/jpeg');
    expect(got.rawPayload).toEqual(Buffer.from(plainJpeg(handMadeJpeg())));
    expect((await api.ask('DELETE', `/api/cooks/${cook}/photos/f1`)).status).toBe(200);
    expect((await api.ask('GET', `/api/cooks/${cook}/photos/f1`)).status).toBe(404);
  });

  it('are no more than fit, of pizzas that there are', async () => {
    const { cook, pizza } = await baked();
    const path = `/api/cooks/${cook}/pizzas/${pizza}/photos`;
    expect((await api.ask('POST', path, { part: 'top', jpeg: 'bm8gcGljdHVyZQ==' })).status).toBe(400);
    for (let n = 0; n < MAX_PHOTOS_OF_PIZZA; n++)
      expect((await api.ask('POST', path, photo())).status).toBe(201);
    expect((await api.ask('POST', path, photo())).status).toBe(409);
    expect((await api.ask('POST', `/api/cooks/${cook}/pizzas/none/photos`, photo())).status).toBe(404);
    expect((await api.ask('POST', path, { part: 'side', jpeg: photo().jpeg })).status).toBe(400);
    expect((await api.ask('POST', path, { part: 'top', jpeg: 'not base64!' })).status).toBe(400);
  });

  it.each(['jsonl', 'csv'] as const)('go out as %s and come in again', async (format) => {
    const { cook, pizza } = await baked();
    await api.ask('POST', `/api/cooks/${cook}/pizzas/${pizza}/photos`, photo(100_000));
    const text = [...exportCook(api.store, cook, format)].join('');
    const again = await importCook(api.store, Readable.from([text]));
    expect(again.skipped).toEqual([]);
    expect(api.store.photos(again.id)).toEqual(api.store.photos(cook));
    expect(api.store.photo(again.id, 'f1')).toEqual(api.store.photo(cook, 'f1'));
    const damaged = text.replace('/9j/', 'AAAA');
    expect((await importCook(api.store, Readable.from([damaged]))).bad).toBe(1);
  });
});

const DAY = 86_400_000;

describe('a deleted cook', () => {
  const listed = async (path: string): Promise<number[]> =>
    ((await api.ask('GET', path)).body['cooks'] as { id: number }[]).map(({ id }) => id);

  it('can be brought back for 30 days, whole, and then is gone with all that it held', async () => {
    const { removeLongDeleted } = await import('../../../server/cook/history/deleted-cooks.ts');
    const { cook, pizza } = await baked();
    await api.ask('POST', `/api/cooks/${cook}/pizzas/${pizza}/photos`, photo());
    await api.ask('PATCH', `/api/cooks/${cook}`, { deleted: true });
    expect(await listed('/api/cooks')).toEqual([]);
    expect(await listed('/api/cooks/deleted')).toEqual([cook]);
    const { body } = await api.ask('GET', '/api/cooks/deleted');
    const [{ goneAt } = { goneAt: '' }] = body['cooks'] as { goneAt: string }[];
    expect(Date.parse(goneAt) - api.clock.wall()).toBe(30 * DAY);

    expect(await removeLongDeleted(api.store, api.clock.wall() + 29.9 * DAY)).toBe(0);
    await api.ask('PATCH', `/api/cooks/${cook}`, { deleted: false });
    expect(await listed('/api/cooks')).toEqual([cook]);
    expect(api.store.photos(cook)).toHaveLength(1);
    expect(api.store.readings(cook, {})).toHaveLength(1);

    await api.ask('PATCH', `/api/cooks/${cook}`, { deleted: true });
    expect(await removeLongDeleted(api.store, api.clock.wall() + 30 * DAY)).toBe(1);
    expect(await listed('/api/cooks/deleted')).toEqual([]);
    expect(api.store.cook(cook)).toBeNull();
    expect(api.store.photos(cook)).toEqual([]);
    expect(api.store.readings(cook, {})).toEqual([]);
  });

  it('that the clock says was deleted before it began, has its days counted from now', async () => {
    const { removeLongDeleted } = await import('../../../server/cook/history/deleted-cooks.ts');
    const { cook } = await baked();
    api.store.patchCook(cook, { endedAt: api.clock.wall() + 1000, deletedAt: 5 * DAY });
    expect(await removeLongDeleted(api.store, api.clock.wall() + DAY)).toBe(0);
    expect(api.store.cook(cook)?.deletedAt).toBe(api.clock.wall() + DAY);
  });

  it('is not one that is still being brought in', async () => {
    const lines = [
      '{"recording":1,"startedAt":"2026-01-02T16:00:00Z","channels":[{"id":"stone","role":"stone"}]}',
    ];
    async function* slowly() {
      yield `${lines.join('\n')}\n`;
      expect(await listed('/api/cooks/deleted')).toEqual([]);
      yield '{"t":1,"channel":"stone","celsius":200}\n';
    }
    const { id } = await importCook(api.store, slowly());
    expect(await listed('/api/cooks')).toEqual([id]);
  });
});
