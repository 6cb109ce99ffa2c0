import type { RecordedEvent } from '../../../shared/event.ts';
import { ventPosition, ventPositionInNote } from '../../../shared/evening/vent-words.ts';
import type { VentPosition } from '../../../shared/evening/vents.ts';
import { ALERT_KINDS, type AlertName } from '../../../shared/alert/kinds.ts';

/** What bears on the vents, in time order; `t` s of the cook. */
export type VentSign =
  | { t: number; kind: 'event'; event: RecordedEvent }
  /** An alert stands from here on, or is over. */
  | { t: number; kind: 'alert'; alert: AlertName; stands: boolean }
  /** The dome fell for good with no lid to explain it: the vents were closed, nobody said so. */
  | { t: number; kind: 'noticed-vent' };

/** How far the vents are open as last known; times s of the cook. */
export type VentState = {
  position: VentPosition | null;
  /** Since when, and when it was last said. */
  since: number;
  statedAt: number;
  /** Before they were moved to where they are. */
  before: VentPosition | null;
};
export const UNKNOWN_VENTS: VentState = { position: null, since: -1e6, statedAt: -1e6, before: null };
/** A cook that follows another on the same coals: its vents may be shut still, though nobody said so in this one. */
export const SHUT_BEFORE: VentState = { ...UNKNOWN_VENTS, position: 'shut' };

export const isNarrow = (position: VentPosition | null): boolean =>
  position === 'shut' || position === 'nearly-shut';
export const isWide = (position: VentPosition | null): boolean => position === 'half' || position === 'open';

/**
 * What is known of the vents after these signs. A tap without a word of how far answers the alert that stands: closed
 * for an overshoot, opened for a fire that fades; with neither, what was known stays.
 */
export function foldVents(signs: readonly VentSign[], start: VentState = UNKNOWN_VENTS): VentState {
  const standing = new Set<AlertName>();
  let state = start;
  for (const sign of signs) {
    if (sign.kind === 'alert') {
      if (sign.stands) standing.add(sign.alert);
      else standing.delete(sign.alert);
      continue;
    }
    const position = sign.kind === 'event' ? statedPosition(sign.event, standing, state) : supposedLow(state);
    if (position === null) continue;
    state =
      position === state.position
        ? { ...state, statedAt: sign.t }
        : { position, since: sign.t, statedAt: sign.t, before: state.position };
  }
  return state;
}

/** What is only supposed never widens what somebody said. */
const supposedLow = ({ position }: VentState): VentPosition | null => (isNarrow(position) ? null : 'low');

function statedPosition(
  event: RecordedEvent,
  standing: ReadonlySet<AlertName>,
  state: VentState,
): VentPosition | null {
  if (event.event === 'note') return event.note === undefined ? null : ventPositionInNote(event.note);
  // Who has seen that the vents should be closed has likely closed them.
  if (event.event === 'acknowledge')
    return ALERT_KINDS[event.alert].vents === 'close' ? supposedLow(state) : null;
  if (event.event !== 'vent') return null;
  const stated = event.note === undefined ? null : ventPosition(event.note);
  if (stated !== null) return stated;
  const asked = [...standing].map((alert) => ALERT_KINDS[alert].vents);
  return asked.includes('close') ? 'nearly-shut' : asked.includes('open') ? 'open' : null;
}
