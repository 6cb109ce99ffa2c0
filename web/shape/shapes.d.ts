declare module 'page:shapes' {
  import type { Shape } from './shape.ts';
  /** What `WS /api/live` sends. */
  export const liveShape: Shape;
}
