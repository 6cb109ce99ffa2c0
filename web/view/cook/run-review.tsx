import type { JSX } from 'preact';
import type { Pizza } from '../../../shared/evening/pizza.ts';
import type { VERDICTS } from '../../../shared/words.ts';
import type { CookDetail } from '../../../shared/api/api.ts';
import { formatDegrees, formatDifference, formatTook } from '../../lib/format.ts';
import { pointAt } from '../../stores/study/study.ts';
import { reviewPizza } from '../../stores/past.ts';
import { unit } from '../../stores/settings.ts';
import { Verdicts } from '../pizza-run/verdicts.tsx';
import { BakePicture, frameOf, type Frame } from './bake-picture.tsx';
import { Photos } from './photos.tsx';
import { Written } from './written.tsx';

/** Each pizza beside the others: what the curves say of it as a picture and four figures, and what the people said. */
export function CookRun({ cook: { id, run, targets } }: { cook: CookDetail }): JSX.Element {
  const baked = run
    .filter(({ pizza }) => pizza.launchedAt !== null)
    .sort((a, b) => (a.pizza.launchedAt ?? 0) - (b.pizza.launchedAt ?? 0));
  const left = run.length - baked.length;
  const frame = frameOf(baked, targets.stone);
  return (
    <section>
      <h2>Pizzas</h2>
      <p class="cook-facts">
        {baked.length === 0
          ? 'No pizza was launched.'
          : 'The field is the time on the stone, the dashes the turn, the bar where the stone was back in its band.'}
      </p>
      <ol class="run">
        {baked.map((entry, i) => (
          <li class="run-pizza" data-testid="run-pizza" key={entry.pizza.id}>
            <RunPizza cookId={id} entry={entry} number={i + 1} frame={frame} band={targets.stone} />
          </li>
        ))}
      </ol>
      {left > 0 && baked.length > 0 && (
        <p>
          {left} more {left === 1 ? 'was' : 'were'} on the list and did not go on the stone.
        </p>
      )}
    </section>
  );
}

type Verdict = (typeof VERDICTS)[number];
type Entry = CookDetail['run'][number];
type RunPizzaProps = {
  cookId: number;
  entry: Entry;
  number: number;
  frame: Frame;
  band: readonly [number, number];
};

function RunPizza({ cookId, entry, number, frame, band }: RunPizzaProps): JSX.Element {
  const { pizza, review } = entry;
  const { name, eater, likes, notes, launchedAt } = pizza;
  const facts: readonly (readonly [string, string])[] = [
    ['At launch', formatDegrees(review.stoneAtLaunch, unit.value)],
    ['Fell by', formatDifference(review.drawDown, unit.value)],
    ['Back after', formatTook(review.recoverySeconds)],
    ['Baked', formatTook(review.bakeSeconds)],
  ];
  const point = (): void => {
    if (launchedAt !== null) pointAt(launchedAt);
    document.querySelector('.study')?.scrollIntoView();
  };
  return (
    <>
      <header>
        <VerdictMark pizza={pizza} />
        <h3>
          {number} {name || 'Pizza'}
          <small>{[eater && `for ${eater}`, likes].filter(Boolean).join(', ')}</small>
        </h3>
      </header>
      <button
        type="button"
        class="bake-key"
        onClick={point}
        aria-label={`Show the bake of ${name} on the curve`}
      >
        <BakePicture entry={entry} frame={frame} band={band} />
      </button>
      <dl class="facts">
        {facts.map(([term, value]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <Verdicts pizza={pizza} onRate={(patch) => void reviewPizza(cookId, pizza.id, patch)} />
      <Photos cookId={cookId} entry={entry} />
      <Written
        label={`Notes on ${name || 'this pizza'}`}
        hint="Notes"
        value={notes}
        most={4000}
        onStore={(text) => reviewPizza(cookId, pizza.id, { notes: text })}
      />
    </>
  );
}

const BAKED: Record<Verdict, string> = { pale: 'is-pale', right: 'is-right', scorched: 'is-scorched' };

/** The pizza from above and from the side: how top and base came out, an outline where nobody said. */
const VerdictMark = ({ pizza: { top, base } }: { pizza: Pizza }): JSX.Element => (
  <svg
    class="verdict-mark"
    viewBox="0 0 40 40"
    role="img"
    aria-label={`Top ${top ?? 'not judged'}, base ${base ?? 'not judged'}`}
  >
    <circle cx="20" cy="16" r="13" class={top ? BAKED[top] : ''} />
    <rect x="4" y="33" width="32" height="5" rx="2.5" class={base ? BAKED[base] : ''} />
  </svg>
);
