import type { JSX } from 'preact';

type Props = { brown: number | null; size?: number };

/** A pizza from above: an outline while it waits, dough that browns while it bakes. `brown`: 1 is as wanted. */
export const PizzaMark = ({ brown, size = 24 }: Props): JSX.Element => (
  <svg class="pizza-mark" viewBox="0 0 24 24" width={size} height={size} aria-hidden="true" focusable="false">
    {brown === null ? (
      <circle cx="12" cy="12" r="9.5" class="waits" />
    ) : (
      <>
        <circle cx="12" cy="12" r="10.5" style={{ fill: browned(brown + 0.25) }} />
        <circle cx="12" cy="12" r="7" style={{ fill: browned(brown) }} />
      </>
    )}
  </svg>
);

/** Past what was wanted it darkens on. */
function browned(brown: number): string {
  const share = Math.round(Math.min(1, Math.max(0, brown)) * 100);
  const dark = Math.round(Math.min(0.6, Math.max(0, brown - 1)) * 100);
  const crust = `color-mix(in oklab, var(--crust) ${share}%, var(--dough))`;
  return dark === 0 ? crust : `color-mix(in oklab, #000000 ${dark}%, ${crust})`;
}
