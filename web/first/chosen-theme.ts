import { recall } from '../lib/browser-memory.ts';

const THEMES = ['auto', 'dusk', 'sunlight'] as const;
export type Theme = (typeof THEMES)[number];
export type Painted = Exclude<Theme, 'auto'>;

const isTheme = (text: string | null): text is Theme => THEMES.some((theme) => theme === text);

/** What was chosen on this device. */
export function chosenTheme(): Theme {
  const stored = recall('theme');
  return isTheme(stored) ? stored : 'auto';
}

/** @param isBright whether the device itself asks for bright pages */
export const paintedBy = (theme: Theme, isBright: boolean): Painted =>
  theme === 'auto' ? (isBright ? 'sunlight' : 'dusk') : theme;

export const BRIGHT = '(prefers-color-scheme: light)';
