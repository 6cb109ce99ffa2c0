import { signal } from '@preact/signals';
import type { LineSpan } from './scene.ts';

/** What this screen alone has open. */
export type Sheet = { kind: 'spot' | 'note' | 'recent' | 'status' } | { kind: 'pizza'; id: string | null };
export const sheet = signal<Sheet | null>(null);
export const lineSpan = signal<LineSpan>('evening');
