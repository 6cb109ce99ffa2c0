import type { JSX } from 'preact';
import { drawn, Icon, type IconName } from './index.tsx';

/** Icons that the first screen does without: they come with the pages that show them. */
const PATHS = {
  swap: 'M4 8h14M14 4l4 4-4 4M20 16H6M10 12l-4 4 4 4',
  minus: 'M5 12h14',
  earlier: 'M20 12H5M11 6l-6 6 6 6',
  zoomIn: 'M10 3a7 7 0 1 0 .01 0M15 15l6 6M10 7v6M7 10h6',
  zoomOut: 'M10 3a7 7 0 1 0 .01 0M15 15l6 6M7 10h6',
  bin: 'M5 7h14M9 7V4h6v3M7 7l1 14h8l1-14',
  bring: 'M12 3v12M7 10l5 5 5-5M4 20h16',
  take: 'M12 15V3M7 8l5-5 5 5M4 20h16',
  camera: 'M3 8h4l2-3h6l2 3h4v11H3zM12 10a3.500 3.500 0 1 0 .01 0',
} as const;

export type RareName = IconName | keyof typeof PATHS;
const isRare = (name: RareName): name is keyof typeof PATHS => name in PATHS;

export const RareIcon = ({ name, size }: { name: RareName; size?: number }): JSX.Element =>
  isRare(name) ? drawn(PATHS[name], size) : <Icon name={name} {...(size !== undefined && { size })} />;
