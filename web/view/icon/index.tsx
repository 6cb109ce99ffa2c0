import type { JSX } from 'preact';
import type { HeadlineSymbol } from '../../../shared/alert/headline-parts.ts';

/** Drawn for this page, on a field of 24 × 24. */
const PATHS = {
  flame: 'M12 21c-4 0-6-3-6-6 0-4 4-6 5-12 3 3 7 7 7 12 0 3-2 6-6 6zM12 21c-2 0-2.5-3 0-6 2.5 3 2 6 0 6z',
  past: 'M4 19l5-9 4 5 7-11M4 21h16',
  settings: 'M4 7h9M19 7h1M4 17h1M11 17h9M16 7a2 2 0 1 0 0-.01M8 17a2 2 0 1 0 0-.01',
  probe: 'M14 3l7 7-3 1-5-5zM13 8L4 17v3h3l9-9M6 15l3 3',
  launch: 'M3 17h12M9 17v4M20 9l-5-5-5 5M15 4v10',
  turn: 'M19 12a7 7 0 1 1-2.5-5.4M17 2v5h-5',
  off: 'M3 17h12M9 17v4M10 7l5 5 5-5M15 12V3',
  vents: 'M4 6h16M4 10h16M4 14h16M4 18h16M8 4v4M15 8v4M10 12v4M16 16v4',
  fuel: 'M4 18l3-6 5 1 1 6zM12 12l3-6 5 2-1 6-5 1M13 19h7l1-4',
  lid: 'M3 17h18M4 17a8 8 0 0 1 16 0M12 6V9M7 21h10',
  note: 'M5 20l1-4L17 5l3 3L9 19zM14 8l3 3',
  spot: 'M4 8h10l4-3v9l-4-2h-4l-1 7H5zM20 9h2M20 12h2',
  undo: 'M8 5L3 10l5 5M3 10h11a6 6 0 0 1 0 11h-4',
  list: 'M9 6h11M9 12h11M9 18h11M4 6h.01M4 12h.01M4 18h.01',
  plus: 'M12 5v14M5 12h14',
  more: 'M5 12h.01M12 12h.01M19 12h.01',
  check: 'M4 13l5 5L20 6',
  close: 'M6 6l12 12M18 6L6 18',
  warning: 'M12 3l10 18H2zM12 10v5M12 18h.01',
  quiet: 'M6 16h12l-2-3V9a4 4 0 0 0-8 0v4zM10 19h4M3 3l18 18',
  bell: 'M6 16h12l-2-3V9a4 4 0 0 0-8 0v4zM10 19h4',
  soundOn: 'M4 9v6h4l5 4V5L8 9zM16 9a4 4 0 0 1 0 6M18.5 6.500a8 8 0 0 1 0 11',
  soundOff: 'M4 9v6h4l5 4V5L8 9zM17 9l5 6M22 9l-5 6',
  screen: 'M3 5h18v11H3zM8 20h8M12 16v4',
  screenOff: 'M3 5h18v11H3zM8 20h8M12 16v4M4 3l16 15',
  play: 'M7 4l13 8-13 8z',
  pause: 'M8 5v14M16 5v14',
  wait: 'M7 3h10M7 21h10M8 3c0 6 8 6 8 12v6M16 3c0 6-8 6-8 12v6',
  go: 'M4 20h16M12 3v13M5 10l7-7 7 7',
  closed: 'M3 12h18M12 2v7M8 6l4 4 4-4M12 22v-7M8 18l4-4 4 4',
  open: 'M3 10h18M3 14h18M12 7V2M8.500 5L12 2l3.500 3M12 17v5M8.500 19l3.500 3 3.500-3',
  doubt: 'M9 9a3 3 0 1 1 4 3c-1 .5-1 1-1 2M12 18h.01M12 2a10 10 0 1 0 .01 0',
  rest: 'M4 12h16M4 8c3-3 5 3 8 0s5 3 8 0M4 16h16',
  lost: 'M3 9a13 13 0 0 1 18 0M6.500 13a8 8 0 0 1 11 0M12 18h.01M3 3l18 18',
  up: 'M12 20V5M5 12l7-7 7 7',
  upSlow: 'M5 18L18 7M9 6h10v10',
  level: 'M4 12h15M13 6l6 6-6 6',
  downSlow: 'M5 6l13 11M9 18h10V8',
  down: 'M12 4v15M5 12l7 7 7-7',
  whole: 'M3 12h18M7 8l-4 4 4 4M17 8l4 4-4 4',
} as const;

export type IconName = keyof typeof PATHS;

export const SYMBOL_ICONS: Record<HeadlineSymbol, IconName> = {
  light: 'flame',
  wait: 'wait',
  go: 'go',
  turn: 'turn',
  off: 'off',
  close: 'closed',
  open: 'open',
  lid: 'lid',
  doubt: 'doubt',
  lost: 'lost',
  rest: 'rest',
};

/** Grows with the words beside it. @param size CSS pixels where a person set no larger type */
const rem = (size: number): string => `${size / 16}rem`;

/** Decoration beside words; it is never the only thing that says something. */
export const drawn = (path: string, size = 24): JSX.Element => (
  <svg
    class="icon"
    viewBox="0 0 24 24"
    width={rem(size)}
    height={rem(size)}
    aria-hidden="true"
    focusable="false"
  >
    <path d={path} />
  </svg>
);
export const Icon = ({ name, size }: { name: IconName; size?: number }): JSX.Element =>
  drawn(PATHS[name], size);
