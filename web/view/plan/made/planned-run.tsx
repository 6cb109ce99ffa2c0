import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { PlanAnswer, PlanPizza, PlanStep } from '../../../../shared/evening/plan.ts';
import { capital, formatClock } from '../../../lib/format.ts';
import { tasteWords } from '../../../../shared/evening/taste.ts';
import { savePlan, standing } from '../../../stores/plan.ts';
import { Button } from '../../button/index.tsx';
import { Icon } from '../../icon/index.tsx';
import { RareIcon } from '../../icon/rare.tsx';

/** The run in its order, a better one proposed; drag, keys or buttons change it, nothing is forced. */
export function PlanRun({ made }: { made: PlanAnswer }): JSX.Element {
  const held = useSignal<number | null>(null);
  const opened = useSignal<number | null>(null);
  // As it is typed and on its way: a late answer neither rewrites a field nor takes another field's change back.
  const typed = useSignal<PlanPizza[] | null>(null);
  const run = typed.value ?? made.draft.run;
  const latest = (): PlanPizza[] => typed.peek() ?? made.draft.run;
  const steps = (standing.value ?? made.now).steps;
  const save = async (next: PlanPizza[]): Promise<void> => {
    typed.value = next;
    await savePlan({ ...made.draft, run: next });
    if (typed.peek() === next) typed.value = null;
  };
  const type = (i: number, part: Partial<PlanPizza>): void => {
    typed.value = withPart(latest(), i, part);
  };
  const change = (i: number, part: Partial<PlanPizza>): void => void save(withPart(latest(), i, part));
  const move = (from: number, to: number): void => {
    const pizza = run[from];
    if (!pizza || to < 0 || to >= run.length || from === to) return;
    const rest = run.filter((_, i) => i !== from);
    void save([...rest.slice(0, to), pizza, ...rest.slice(to)]);
  };
  const better = made.proposal.some(({ place }, i) => run[place]?.eater !== run[i]?.eater);
  return (
    <section class="plan-card" aria-label="The run of pizzas">
      <header class="page-head">
        <h2>The run</h2>
        {better && (
          <Button
            data-testid="run-propose"
            onClick={() => void save(made.proposal.flatMap(({ place }) => run[place] ?? []))}
          >
            <RareIcon name="swap" /> Order by taste and stone
          </Button>
        )}
      </header>
      <ol class="plan-run">
        {run.map((pizza, i) => (
          <li
            key={i}
            class={`${held.value === i ? 'held' : ''} ${opened.value === i ? 'is-open' : ''}`}
            draggable
            data-testid="plan-pizza"
            onDragStart={() => {
              held.value = i;
            }}
            onDragEnd={() => {
              held.value = null;
            }}
            onDragOver={(event) => event.preventDefault()}
            onDrop={() => held.value !== null && move(held.value, i)}
          >
            <time>{clockOf(steps.find(({ id }) => id === `launch:${i + 1}`))}</time>
            <Button
              look="plan-open"
              aria-expanded={opened.value === i}
              data-testid="pizza-open"
              onClick={() => {
                opened.value = opened.value === i ? null : i;
              }}
            >
              <bdi>{pizza.name || `Pizza ${i + 1}`}</bdi>
              {pizza.eater && (
                <small>
                  for <bdi>{pizza.eater}</bdi>
                </small>
              )}
            </Button>
            <div class="plan-pizza">
              <label class="visually-hidden" for={`pizza-name-${i}`}>
                Pizza {i + 1}
              </label>
              <input
                id={`pizza-name-${i}`}
                type="text"
                maxLength={80}
                value={pizza.name}
                placeholder={`Pizza ${i + 1}`}
                onInput={(event) => type(i, { name: event.currentTarget.value })}
                onChange={(event) => change(i, { name: event.currentTarget.value.trim() })}
              />
              <input
                type="text"
                aria-label={`Toppings of pizza ${i + 1}`}
                maxLength={200}
                value={pizza.toppings}
                placeholder="Toppings: ham, mushrooms"
                data-testid="pizza-toppings"
                onInput={(event) => type(i, { toppings: event.currentTarget.value })}
                onChange={(event) => change(i, { toppings: event.currentTarget.value.trim() })}
              />
              <Eater
                made={made}
                pizza={pizza}
                place={i}
                onChoose={({ eater, taste, diet }) => change(i, { eater, taste, diet })}
              />
            </div>
            <p class="reason">
              {pizza.diet !== 'all' && !made.clashes[i] && <strong>{capital(pizza.diet)}. </strong>}
              {made.clashes[i] && (
                <strong class="clash" data-testid="pizza-clash">
                  {made.clashes[i]}{' '}
                </strong>
              )}
              {better ? '' : made.proposal[i]?.reason}
            </p>
            <div class="row">
              <MoveButton
                label={`Pizza ${i + 1} earlier`}
                icon="up"
                off={i === 0}
                act={() => move(i, i - 1)}
              />
              <MoveButton
                label={`Pizza ${i + 1} later`}
                icon="down"
                off={i === run.length - 1}
                act={() => move(i, i + 1)}
              />
            </div>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The live document may be a moment older than the run: it has no step yet for a pizza that was just added. */
const clockOf = (step: PlanStep | undefined): string => (step ? formatClock(Date.parse(step.at)) : '–');

const withPart = (run: readonly PlanPizza[], at: number, part: Partial<PlanPizza>): PlanPizza[] =>
  run.map((pizza, i) => (i === at ? { ...pizza, ...part } : pizza));

type EaterProps = { made: PlanAnswer; pizza: PlanPizza; place: number; onChoose(next: PlanPizza): void };

function Eater({ made, pizza, place, onChoose }: EaterProps): JSX.Element | null {
  const { guests } = made.draft;
  if (guests.length === 0) return null;
  return (
    <label class="for-whom">
      <span class="visually-hidden">Pizza {place + 1} is </span>for
      <select
        value={pizza.eater}
        onChange={(event) => {
          const guest = guests.find(({ name }) => name === event.currentTarget.value);
          if (guest) onChoose({ ...pizza, eater: guest.name, taste: guest.taste, diet: guest.diet });
        }}
      >
        {guests.map(({ name, taste }) => (
          <option key={name} value={name}>
            {name} ({tasteWords(taste)})
          </option>
        ))}
      </select>
    </label>
  );
}

type MoveProps = { label: string; icon: 'up' | 'down'; off: boolean; act(): void };

const MoveButton = ({ label, icon, off, act }: MoveProps): JSX.Element => (
  <Button aria-label={label} disabled={off} onClick={act}>
    <Icon name={icon} />
  </Button>
);
