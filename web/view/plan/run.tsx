import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { PlanAnswer, PlanPizza } from '../../../shared/plan.ts';
import { formatClock } from '../../lib/format.ts';
import { tasteWords } from '../../../shared/taste.ts';
import { savePlan, standing } from '../../stores/plan.ts';
import { Icon } from '../icon/index.tsx';

/** The run in its order, a better one proposed; drag, keys or buttons change it, nothing is forced. */
export function PlanRun({ made }: { made: PlanAnswer }): JSX.Element {
  const held = useSignal<number | null>(null);
  const { run } = made.draft;
  const steps = (standing.value ?? made.now).steps;
  const save = (next: PlanPizza[]): Promise<boolean> => savePlan({ ...made.draft, run: next });
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
          <button
            type="button"
            class="button"
            data-testid="run-propose"
            onClick={() => void save(made.proposal.flatMap(({ place }) => run[place] ?? []))}
          >
            <Icon name="swap" /> Order by taste and stone
          </button>
        )}
      </header>
      <ol class="plan-run">
        {run.map((pizza, i) => (
          <li
            key={i}
            class={held.value === i ? 'held' : ''}
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
            <time>{formatClock(Date.parse(steps.find(({ id }) => id === `launch:${i + 1}`)?.at ?? ''))}</time>
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
                onChange={(event) =>
                  void save(
                    run.map((p, k) => (k === i ? { ...p, name: event.currentTarget.value.trim() } : p)),
                  )
                }
              />
              <Eater
                made={made}
                pizza={pizza}
                place={i}
                onChoose={(next) => void save(swapIn(run, i, next))}
              />
            </div>
            <p class="reason">{better ? '' : made.proposal[i]?.reason}</p>
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

const swapIn = (run: readonly PlanPizza[], at: number, next: PlanPizza): PlanPizza[] =>
  run.map((pizza, i) => (i === at ? next : pizza));

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
          if (guest) onChoose({ ...pizza, eater: guest.name, taste: guest.taste });
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
  <button type="button" class="button" aria-label={label} disabled={off} onClick={act}>
    <Icon name={icon} />
  </button>
);
