import type { JSX } from 'preact';
import type { CookDetail } from '../../../shared/api.ts';
import { formatDegrees, formatDifference, formatTook } from '../../lib/format.ts';
import { reviewPizza } from '../../stores/past.ts';
import { unit } from '../../stores/settings.ts';
import { Verdicts } from '../pizza-run/verdicts.tsx';

/** Each pizza with what the curves say of it, and what the people said. */
export function CookRun({ cook: { id, run } }: { cook: CookDetail }): JSX.Element {
  const baked = run.filter(({ pizza }) => pizza.launchedAt !== null);
  const left = run.length - baked.length;
  return (
    <section>
      <h2>Pizzas</h2>
      {baked.length === 0 && <p>No pizza was launched.</p>}
      <ol class="run">
        {baked.map((entry) => (
          <RunPizza key={entry.pizza.id} cookId={id} entry={entry} />
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

type Entry = CookDetail['run'][number];

function RunPizza({ cookId, entry: { pizza, review } }: { cookId: number; entry: Entry }): JSX.Element {
  const { name, eater, likes, notes } = pizza;
  const facts: readonly (readonly [string, string])[] = [
    ['Stone at launch', formatDegrees(review.stoneAtLaunch, unit.value)],
    ['Dome at launch', formatDegrees(review.domeAtLaunch, unit.value)],
    ['Drew the stone down by', formatDifference(review.drawDown, unit.value)],
    ['Stone back after', formatTook(review.recoverySeconds)],
    ['Baked for', formatTook(review.bakeSeconds)],
  ];
  return (
    <li class="run-pizza" data-testid="run-pizza">
      <h3>
        {name || 'Pizza'}
        {eater && <small> for {eater}</small>}
      </h3>
      {likes && <p class="cook-facts">{likes}</p>}
      <dl class="facts">
        {facts.map(([term, value]) => (
          <div key={term}>
            <dt>{term}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      <Verdicts pizza={pizza} onJudge={(patch) => void reviewPizza(cookId, pizza.id, patch)} />
      <label class="field">
        Notes
        <input
          type="text"
          maxLength={4000}
          value={notes}
          onChange={(event) => void reviewPizza(cookId, pizza.id, { notes: event.currentTarget.value })}
        />
      </label>
    </li>
  );
}
