import { expect, it } from 'vitest';
import { parseRoute } from '../../../web/lib/router.ts';

it('reads the page from the address, and shows the live screen for anything unknown', () => {
  expect(parseRoute('#/past/12')).toEqual({ page: 'cook', id: 12 });
  expect(parseRoute('#/past')).toEqual({ page: 'past' });
  expect(parseRoute('#/overlay')).toEqual({ page: 'overlay', id: null });
  expect(parseRoute('#/overlay/7')).toEqual({ page: 'overlay', id: 7 });
  expect(parseRoute('#/settings')).toEqual({ page: 'settings' });
  for (const odd of ['', '#/', '#/live', '#/nowhere', '#live'])
    expect(parseRoute(odd)).toEqual({ page: 'live' });
  expect(parseRoute('#/past/12x')).toEqual({ page: 'past' });
  expect(parseRoute('#/mapping/d0%3A0d')).toEqual({ page: 'mapping', device: 'd0:0d' });
  expect(parseRoute('#/mapping/%')).toEqual({ page: 'mapping', device: '' });
});
