import { z } from 'zod';
import type { Incoming } from '../../cook/incoming.ts';
import type { Person } from '../../cook/person.ts';
import type { ProbeBook } from '../../cook/probe-book.ts';
import type { Reach } from '../../cook/reach.ts';
import type { Stage } from '../../cook/stage.ts';
import type { Store } from '../../store/store.ts';

/** What routes act on. */
export type RouteParts = {
  stage: Stage;
  incoming: Incoming;
  person: Person;
  reach: Reach;
  probes: ProbeBook;
  store: Store;
  version: string;
};

export const done = z.object({ done: z.literal(true) });
export const DONE = { done: true } as const;
