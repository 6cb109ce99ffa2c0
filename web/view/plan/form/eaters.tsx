import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Taste } from '../../../../shared/evening/evening.ts';
import type { Diet, Guest } from '../../../../shared/evening/plan.ts';
import { tasteWords } from '../../../../shared/evening/taste.ts';
import { TASTES } from '../../../stores/plan.ts';
import { Button } from '../../button/index.tsx';
import { Icon } from '../../icon/index.tsx';
import { Choice } from '../../sheet/choice.tsx';
import type { Draft } from './draft.ts';

const NEUTRAL_TASTE: Taste = { base: 0, crust: 0, wetness: 0 };

/** Somebody who eats too; nothing where the name is empty or there already. */
export function addEater(draft: Draft, name: string, taste: Taste = NEUTRAL_TASTE): void {
  const { guests } = draft.value;
  if (name === '' || guests.some((guest) => guest.name === name)) return;
  draft.value = { ...draft.value, guests: [...guests, { name, taste, diet: 'all' }] };
}

/** Who eats: a name and a tap; nobody need be named. `typed` is the name that stands in its field. */
export function Eaters({ draft, typed: name }: { draft: Draft; typed: Signal<string> }): JSX.Element {
  const people = draft.value.guests;
  const { pizzas } = draft.value.input;
  const set = (next: Guest[]): void => {
    draft.value = { ...draft.value, guests: next };
  };
  const add = (taste: Taste): void => {
    addEater(draft, name.value.trim() || freeName(people), taste);
    name.value = '';
  };
  const isThere = people.some((person) => person.name === name.value.trim());
  return (
    <section class="plan-card">
      <h2>Who eats?</h2>
      {people.length > 0 && (
        <ul class="eaters">
          {people.map((person) => (
            <Eater
              key={person.name}
              eater={person}
              onChange={(change) =>
                set(people.map((p) => (p.name === person.name ? { ...p, ...change } : p)))
              }
              onRemove={() => set(people.filter((p) => p.name !== person.name))}
            />
          ))}
        </ul>
      )}
      <label class="field">
        Name, then how they like it
        <input
          type="text"
          maxLength={80}
          value={name.value}
          placeholder={freeName(people)}
          data-testid="eater-name"
          onInput={(event) => {
            name.value = event.currentTarget.value;
          }}
          onKeyDown={(event) => {
            if (event.key !== 'Enter') return;
            event.preventDefault();
            add(NEUTRAL_TASTE);
          }}
        />
      </label>
      <p role="status" class="cook-facts">
        {isThere && `${name.value.trim()} is there already.`}
        {people.length > pizzas &&
          `${people.length} eat, but there are ${pizzas} pizzas: ${people.length - pizzas} share, or take more pizzas above.`}
      </p>
      <div class="row">
        {TASTES.map(([label, taste], i) => (
          <Button key={label} data-testid={`eater-add-${i}`} onClick={() => add(taste)}>
            <Icon name="plus" /> {label}
          </Button>
        ))}
      </div>
    </section>
  );
}

/** What a guest without a name is called. */
function freeName(people: readonly Guest[]): string {
  const names = new Set(people.map(({ name }) => name));
  let n = people.length + 1;
  while (names.has(`Guest ${n}`)) n++;
  return `Guest ${n}`;
}

type EaterProps = { eater: Guest; onChange(change: Partial<Guest>): void; onRemove(): void };

const DIETS: readonly (readonly [Diet, string])[] = [
  ['all', 'Everything'],
  ['vegetarian', 'Vegetarian'],
  ['vegan', 'Vegan'],
  ['pescatarian', 'Fish, no meat'],
  ['pork-free', 'No pork'],
  ['dairy-free', 'No dairy'],
  ['gluten-free', 'No gluten'],
];

const SIDES = [
  ['base', 'Base', [-1.5, 'Pale'], [1.5, 'Well done']],
  ['crust', 'Crust', [-1, 'Soft'], [1, 'Crisp']],
  ['wetness', 'Toppings', [-1, 'Dry'], [1, 'Wet']],
] as const;

const Eater = ({ eater: { name, taste, diet }, onChange, onRemove }: EaterProps): JSX.Element => (
  <li class="eater" data-testid="eater">
    <details>
      <summary>
        <strong>{name}</strong> <span>{tasteWords(taste)}</span>
        {diet !== 'all' && <span>, {diet}</span>}
      </summary>
      <Choice
        legend="Eats"
        name={`diet-${name}`}
        options={DIETS}
        value={diet}
        onChoose={(to) => onChange({ diet: to })}
      />
      {SIDES.map(([side, legend, [low, lowWord], [high, highWord]]) => (
        <Choice
          key={side}
          legend={legend}
          name={`${side}-${name}`}
          options={[
            ['low', lowWord],
            ['middle', 'Middling'],
            ['high', highWord],
          ]}
          value={taste[side] < -0.5 ? 'low' : taste[side] > 0.5 ? 'high' : 'middle'}
          onChoose={(to) =>
            onChange({ taste: { ...taste, [side]: to === 'low' ? low : to === 'high' ? high : 0 } })
          }
        />
      ))}
    </details>
    <Button look="plain" aria-label={`${name} does not come`} onClick={onRemove}>
      <Icon name="close" />
    </Button>
  </li>
);
