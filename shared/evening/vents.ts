/** How far the vents are open, as people say it. The narrower of two vents counts: air passes both. */
export const VENT_POSITIONS = ['shut', 'nearly-shut', 'low', 'half', 'open'] as const;
export type VentPosition = (typeof VENT_POSITIONS)[number];

/** What the keys of the page write into the note of a vent event. */
export const VENT_NOTES: Record<VentPosition, string> = {
  shut: 'shut',
  'nearly-shut': 'nearly shut',
  low: 'a quarter open',
  half: 'half open',
  open: 'wide open',
};
