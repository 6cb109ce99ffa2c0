import { useSignal, type Signal } from '@preact/signals';
import type { JSX } from 'preact';
import type { SauceFormula } from '../../../../shared/evening/formula.ts';
import { formulas, keepAs, newest } from '../../../stores/plan.ts';
import { Button } from '../../button/index.tsx';
import { Icon } from '../../icon/index.tsx';
import { RareIcon } from '../../icon/rare.tsx';
import { Choice } from '../../sheet/choice.tsx';
import { usedOf, type Draft } from './draft.ts';
import { KeepAs } from './keep-as.tsx';
import { TextField } from '../../sheet/fields.tsx';
import { Stepper } from '../stepper.tsx';

type Part = SauceFormula['parts'][number];

/** Which sauce, and versions of the person's own. */
export function SauceForm({ draft }: { draft: Draft }): JSX.Element | null {
  const sauces = newest(formulas.value, 'sauce');
  const chosen = sauces.find(({ id }) => id === draft.value.sauce?.id) ?? null;
  const take = (sauce: SauceFormula): void => {
    draft.value = { ...draft.value, sauce: usedOf(sauce) };
  };
  if (sauces.length === 0) return null;
  return (
    <section class="plan-card">
      <h2>Which sauce?</h2>
      <Choice
        legend="Made ahead"
        name="plan-sauce"
        options={sauces.map(({ id, name }) => [id, name] as const)}
        value={chosen?.id ?? null}
        onChoose={(id) => sauces.filter((sauce) => sauce.id === id).forEach(take)}
        testid="plan-sauce"
      />
      {chosen && <Own key={`${chosen.id} ${chosen.version}`} sauce={chosen} onSaved={take} />}
    </section>
  );
}

/** Parts by grams a pizza; what is changed here counts once it is kept. */
function Own({ sauce, onSaved }: { sauce: SauceFormula; onSaved(saved: SauceFormula): void }): JSX.Element {
  const parts = useSignal(sauce.parts);
  const keep = async (name: string): Promise<SauceFormula | null> => {
    const filled = parts.value.filter((part) => part.name.trim() !== '');
    const saved = await keepAs('sauce', name, (id) => ({ ...sauce, id, name, parts: filled, origin: '' }));
    if (saved) onSaved(saved);
    return saved;
  };
  return (
    <details class="plan-more" data-testid="plan-sauce-own">
      <summary>What is in it, and a version of your own</summary>
      {parts.value.map((part, i) => (
        <PartRow key={i} parts={parts} part={part} i={i} />
      ))}
      <Button
        data-testid="sauce-part-add"
        onClick={() => {
          parts.value = [...parts.value, { name: '', gramsPerPizza: 5 }];
        }}
      >
        <Icon name="plus" /> Another part
      </Button>
      <KeepAs name={sauce.name} keep={keep} testid="sauce" />
    </details>
  );
}

function PartRow({ parts, part, i }: { parts: Signal<Part[]>; part: Part; i: number }): JSX.Element {
  const patch = (change: Partial<Part>): void => {
    parts.value = parts.value.map((part, at) => (at === i ? { ...part, ...change } : part));
  };
  return (
    <div class="row sauce-part">
      <TextField
        label={`Part ${i + 1}`}
        most={80}
        value={part.name}
        testid={`sauce-part-${i}`}
        onType={(name) => patch({ name })}
      />
      <Stepper
        label="A pizza"
        unit="g"
        value={part.gramsPerPizza}
        low={0.1}
        high={500}
        step={part.gramsPerPizza >= 10 ? 5 : 0.5}
        onChange={(gramsPerPizza) => patch({ gramsPerPizza })}
      />
      <Button
        aria-label={`Take ${part.name || 'this part'} out`}
        disabled={parts.value.length === 1}
        onClick={() => {
          parts.value = parts.value.filter((_, at) => at !== i);
        }}
      >
        <RareIcon name="bin" />
      </Button>
    </div>
  );
}
