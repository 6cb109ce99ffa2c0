import { signal } from '@preact/signals';
import { recall, remember } from './browser-memory.ts';

const THEMES = ['auto', 'dusk', 'sunlight'] as const;
export type Theme = (typeof THEMES)[number];

const isTheme = (text: string | null): text is Theme => THEMES.some((theme) => theme === text);

const stored = recall('theme');
export const theme = signal<Theme>(isTheme(stored) ? stored : 'auto');
/** The theme that is painted; canvases repaint when it changes. */
export const painted = signal<'dusk' | 'sunlight'>('dusk');

const bright = matchMedia('(prefers-color-scheme: light)');

function paint(): void {
  painted.value = theme.value === 'auto' ? (bright.matches ? 'sunlight' : 'dusk') : theme.value;
  document.documentElement.dataset['theme'] = painted.value;
}

export function setTheme(next: Theme): void {
  theme.value = next;
  remember('theme', next);
  paint();
}

export function startTheme(): void {
  bright.addEventListener('change', paint);
  paint();
}
