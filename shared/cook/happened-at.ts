import type { RecordedEvent } from '../event.ts';

/** When it truly happened, where `t` is when it was received, s. Apart from the schemas, so that the page has no need of their library. */
export const happenedAt = (t: number, event: RecordedEvent): number =>
  t - ('ago' in event ? (event.ago ?? 0) : 0);
