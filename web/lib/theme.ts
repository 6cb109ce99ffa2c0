import { signal } from '@preact/signals';
import { remember } from './browser-memory.ts';
import { BRIGHT, chosenTheme, paintedBy, type Painted, type Theme } from '../first/chosen-theme.ts';

export type { Theme };

export const theme = signal<Theme>(chosenTheme());
/** The theme that is painted; canvases repaint when it changes. */
export const painted = signal<Painted>('dusk');

const bright = matchMedia(BRIGHT);

function paint(): void {
  painted.value = paintedBy(theme.value, bright.matches);
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
