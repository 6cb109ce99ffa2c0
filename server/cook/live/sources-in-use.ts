import type { Now } from '../../../shared/api/live.ts';
import type { FrameBody } from '../../source/source.ts';

/** How the sources are that a probe hangs on, and the channels whose probe is known to be out of reach. */
export type SourcesInUse = { inUse: Now['sources']; lost: ReadonlySet<string> };

export const NO_SOURCES: SourcesInUse = { inUse: [], lost: new Set() };

/** Where the router hands on what is the cook's. */
export interface CookInlet {
  frame(body: FrameBody): void;
  useSources(sources: SourcesInUse): void;
}
