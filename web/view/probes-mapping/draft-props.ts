import type { Draft } from '../../stores/probes/mapping-draft.ts';

/** What each step of the page shows and changes. */
export type DraftProps = { draft: Draft; edit(patch: Partial<Draft>): void };
