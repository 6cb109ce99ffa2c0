import { signal } from '@preact/signals';
import { recall, remember } from '../lib/browser-memory.ts';
import type { Pen } from '../lib/plot/pen.ts';
import type { LineSpan } from './derive/curve/curve-scene.ts';

/** What this screen alone has open. */
export type Sheet =
  | { kind: 'spot' | 'note' | 'vents' | 'recent' | 'status' | 'messages' | 'more' }
  | { kind: 'pizza'; id: string | null };
export const sheet = signal<Sheet | null>(null);
/** Those that came off and are to be judged, the first taken off first. */
export const judging = signal<readonly string[]>([]);
/** Drawn over the line of time while somebody asks for it. */
export const overdraw = signal<((pen: Pen) => void) | null>(null);
export const lineSpan = signal<LineSpan>(recall('span') === 'evening' ? 'evening' : 'closer');

export function chooseSpan(span: LineSpan): void {
  lineSpan.value = span;
  remember('span', span);
}
