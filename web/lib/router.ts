import { signal } from '@preact/signals';

export type Route =
  | { page: 'live' | 'past' | 'settings' | 'probes' | 'plan' | 'stone' }
  | { page: 'overlay'; id: number | null }
  | { page: 'cook' | 'ended'; id: number }
  | { page: 'mapping'; device: string };

/** `#/past/12` → a route; anything unknown is the live screen. */
export function parseRoute(hash: string): Route {
  const [page, id] = hash.replace(/^#\/?/, '').split('/');
  if ((page === 'past' || page === 'ended') && id !== undefined && /^\d+$/.test(id))
    return { page: page === 'past' ? 'cook' : page, id: Number(id) };
  if (page === 'overlay') return { page, id: id !== undefined && /^\d+$/.test(id) ? Number(id) : null };
  if (page === 'mapping') return { page, device: plain(id ?? '') };
  if (page === 'past' || page === 'settings' || page === 'probes' || page === 'plan' || page === 'stone')
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
