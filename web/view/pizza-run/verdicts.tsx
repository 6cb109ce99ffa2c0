import type { JSX } from 'preact';
import type { Pizza, PizzaPatch } from '../../../shared/evening/pizza.ts';
import { VERDICTS } from '../../../shared/words.ts';
import { capital } from '../../lib/format.ts';
import { Choice } from '../sheet/choice.tsx';

const OPTIONS = VERDICTS.map((verdict) => [verdict, capital(verdict)] as const);

/** Two taps: how the base came out, and the top. */
export const Verdicts = ({
  pizza,
  onRate,
}: {
  pizza: Pizza;
  onRate(patch: PizzaPatch): void;
}): JSX.Element => (
  <div class="verdicts">
    <Choice
      legend="Base"
      name={`base-${pizza.id}`}
      options={OPTIONS}
      value={pizza.base}
      onChoose={(base) => onRate({ base })}
      testid="verdict-base"
    />
    <Choice
      legend="Top"
      name={`top-${pizza.id}`}
      options={OPTIONS}
      value={pizza.top}
      onChoose={(top) => onRate({ top })}
      testid="verdict-top"
    />
  </div>
);
