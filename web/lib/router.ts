import { signal } from '@preact/signals';

export type Route =
  | { page: 'live' | 'past' | 'settings' | 'probes' | 'plan' | 'overlay' | 'stone' }
  | { page: 'cook'; id: number }
  | { page: 'mapping'; device: string };

/** `#/past/12` → a route; anything unknown is the live screen. */
export function parseRoute(hash: string): Route {
  const [page, id] = hash.replace(/^#\/?/, '').split('/');
  if (page === 'past' && id !== undefined && /^\d+$/.test(id)) return { page: 'cook', id: Number(id) };
  if (page === 'mapping') return { page, device: plain(id ?? '') };
  if (
    page === 'past' ||
    page === 'settings' ||
    page === 'probes' ||
    page === 'plan' ||
    page === 'overlay' ||
    page === 'stone'
  )
    return { page };
  return { page: 'live' };
}

/** What a hand-written address cannot mean is no device. */
function plain(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return '';
  }
}

export const route = signal<Route>({ page: 'live' });

export function go(hash: string): void {
  location.hash = hash;
}

export function startRouter(): void {
  const read = (): void => {
    route.value = parseRoute(location.hash);
    scrollTo(0, 0);
  };
  addEventListener('hashchange', read);
  read();
}
