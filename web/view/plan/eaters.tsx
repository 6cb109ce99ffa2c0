import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import type { Taste } from '../../../shared/evening.ts';
import type { Guest } from '../../../shared/plan.ts';
import { tasteWords } from '../../../shared/taste.ts';
import { TASTES } from '../../stores/plan.ts';
import { Icon } from '../icon/index.tsx';
import { Choice } from '../sheet/choice.tsx';
import type { Draft } from './draft.ts';

/** Who eats: a name and a tap; nobody need be named. */
export function Eaters({ draft }: { draft: Draft }): JSX.Element {
  const name = useSignal('');
  const people = draft.value.guests;
  const set = (next: Guest[]): void => {
    draft.value = { ...draft.value, guests: next };
  };
  const add = (taste: Taste): void => {
    const given = name.value.trim() || `Guest ${people.length + 1}`;
    if (people.some((one) => one.name === given)) return;
    set([...people, { name: given, taste }]);
    name.value = '';
  };
  return (
    <section class="plan-card">
      <h2>Who eats?</h2>
      {people.length > 0 && (
        <ul class="eaters">
          {people.map((one) => (
            <Eater
              key={one.name}
              eater={one}
              onTaste={(taste) => set(people.map((p) => (p.name === one.name ? { ...p, taste } : p)))}
              onRemove={() => set(people.filter((p) => p.name !== one.name))}
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
          placeholder={`Guest ${people.length + 1}`}
          data-testid="eater-name"
          onInput={(event) => {
            name.value = event.currentTarget.value;
          }}
          onKeyDown={(event) => {
            if (event.key !== 'Enter') return;
            event.preventDefault();
            add({ base: 0, crust: 0, wetness: 0 });
          }}
        />
      </label>
      <div class="row">
        {TASTES.map(([label, taste], i) => (
          <button
            type="button"
            class="button"
            key={label}
            data-testid={`eater-add-${i}`}
            onClick={() => add(taste)}
          >
            <Icon name="plus" /> {label}
          </button>
        ))}
      </div>
    </section>
  );
}

type EaterProps = { eater: Guest; onTaste(taste: Taste): void; onRemove(): void };

const SIDES = [
  ['base', 'Base', [-1.5, 'Pale'], [1.5, 'Well done']],
  ['crust', 'Crust', [-1, 'Soft'], [1, 'Crisp']],
  ['wetness', 'Toppings', [-1, 'Dry'], [1, 'Wet']],
] as const;

const Eater = ({ eater: { name, taste }, onTaste, onRemove }: EaterProps): JSX.Element => (
  <li class="eater" data-testid="eater">
    <details>
      <summary>
        <strong>{name}</strong> <span>{tasteWords(taste)}</span>
      </summary>
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
          onChoose={(to) => onTaste({ ...taste, [side]: to === 'low' ? low : to === 'high' ? high : 0 })}
        />
      ))}
    </details>
    <button type="button" class="button plain" aria-label={`${name} does not come`} onClick={onRemove}>
      <Icon name="close" />
    </button>
  </li>
);
