import type { CookEntry } from '../../../shared/cook/reduce.ts';
import type { RecordedEvent } from '../../../shared/event.ts';

/** Whether a person did it: guidance moves times too often to be listed. */
export const isByPerson = ({ event }: CookEntry): boolean =>
  event.event !== 'bake-times' || event.by === undefined;

/** What happened at the grill, as a person tells it; the machinery's own entries are no use on a line of time. */
const AT_THE_GRILL: readonly RecordedEvent['event'][] = [
  'look',
  'fire-lit',
  'vent',
  'fuel',
  'note',
  'lid-open',
  'lid-closed',
  'launch',
  'turn',
  'off',
  'answer',
];
export const isAtGrill = ({ event }: CookEntry): boolean => AT_THE_GRILL.includes(event.event);
