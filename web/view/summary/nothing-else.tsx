import type { JSX } from 'preact';

/** So many things to change are looked for in a cook. */
const WANTED_CHANGES = 3;

/** Where a cook has fewer things to change than that, it says so. */
export const NothingElse = ({ found }: { found: number }): JSX.Element | null =>
  found >= WANTED_CHANGES ? null : (
    <p data-testid="nothing-else">
      {found === 0 ? 'Nothing' : 'Nothing else'} stands out in the figures of this cook.
    </p>
  );
