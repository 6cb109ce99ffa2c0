import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { USUAL_BALL } from '../../../../shared/evening/ball.ts';
import type { PlanSettings } from '../../../../shared/evening/evening.ts';
import type { DoughFormula } from '../../../../shared/evening/formula.ts';
import { differenceInUnit, inUnit } from '../../../lib/format.ts';
import { fromFahrenheit } from '../../../../shared/units.ts';
import { ballOfFlour, ballOfMass, keepAs } from '../../../stores/plan.ts';
import { unit } from '../../../stores/settings.ts';
import { Button } from '../../button/index.tsx';
import { Choice } from '../../sheet/choice.tsx';
import { TextField } from '../../sheet/fields.tsx';
import { change, usedOf, type Draft } from './draft.ts';
import { KeepAs } from './keep-as.tsx';
import { PrefermentPart } from './preferment.tsx';
import { Stepper } from '../stepper.tsx';

const YEASTS = [
  ['instant', 'Instant'],
  ['active-dry', 'Active dry'],
  ['fresh', 'Fresh'],
] as const;
const MIXERS = [
  ['hand', 'By hand'],
  ['stand', 'Stand mixer'],
  ['fast', 'Fast mixer'],
] as const;

type Percent = 'hydration' | 'saltFraction' | 'oilFraction' | 'sugarFraction';
const PERCENTS: readonly (readonly [Percent, string, number, number, number])[] = [
  ['hydration', 'Water', 40, 100, 1],
  ['saltFraction', 'Salt', 0, 6, 0.1],
  ['oilFraction', 'Oil', 0, 15, 0.5],
  ['sugarFraction', 'Sugar', 0, 10, 0.5],
];

/** Kitchen and formula in full, folded away: what is not opened is common practice. */
export function Dough({ draft }: { draft: Draft }): JSX.Element {
  const { input } = draft.value;
  return (
    <>
      <details class="plan-more" data-testid="plan-kitchen">
        <summary>Kitchen: room, water, mixer, yeast</summary>
        <Degrees draft={draft} label="Room" part="roomC" value={input.roomC} low={0} high={45} />
        <Degrees
          draft={draft}
          label="Flour"
          part="flourC"
          value={input.flourC ?? input.roomC}
          low={-20}
          high={45}
        />
        <Degrees
          draft={draft}
          label="Tap water"
          part="tapC"
          value={input.tapC ?? Math.min(25, Math.max(8, input.roomC - 5))}
          low={0}
          high={45}
        />
        <Degrees draft={draft} label="Fridge" part="fridgeC" value={input.fridgeC} low={0} high={12} />
        <Choice
          legend="Kneaded"
          name="plan-mixer"
          options={MIXERS}
          value={input.mixer}
          onChoose={(mixer) => change(draft, { mixer })}
        />
        <Choice
          legend="Yeast"
          name="plan-yeast"
          options={YEASTS}
          value={input.yeast}
          onChoose={(yeast) => change(draft, { yeast, yeastFraction: null })}
        />
        <Choice
          legend="Raw sausage, mince or chicken among the toppings"
          name="plan-meat"
          options={[
            ['no', 'No'],
            ['yes', 'Yes'],
          ]}
          value={input.rawMeat ? 'yes' : 'no'}
          onChoose={(meat) => change(draft, { rawMeat: meat === 'yes' })}
        />
      </details>
      <details class="plan-more" data-testid="plan-formula">
        <summary>The formula, and a version of your own</summary>
        <div class="stepper-row">
          {PERCENTS.map(([part, label, low, high, step]) => (
            <Stepper
              key={part}
              label={label}
              unit="% of the flour"
              value={input[part] * 100}
              low={low}
              high={high}
              step={step}
              onChange={(percent) => change(draft, { [part]: percent / 100 })}
            />
          ))}
          <Stepper
            label={
              input.coldAs === 'mass' && input.coldHours ? 'In the mass, with the fridge' : 'In the mass'
            }
            unit="hours"
            value={input.bulkHours}
            low={0.5}
            high={96}
            step={0.5}
            testid="plan-hours"
            onChange={(bulkHours) => change(draft, { bulkHours })}
          />
          <Stepper
            label="In the fridge"
            unit="hours"
            value={input.coldHours ?? 0}
            low={0}
            high={96}
            step={1}
            testid="plan-cold"
            onChange={(coldHours) => change(draft, chill(input, coldHours))}
          />
          <Stepper
            label="As balls in the room"
            unit="hours"
            value={input.ballHours ?? 2}
            low={0.5}
            high={12}
            step={0.5}
            testid="plan-balls"
            onChange={(ballHours) => change(draft, { ballHours })}
          />
          <Stepper
            label="One ball"
            unit="g"
            value={input.ballGrams ?? USUAL_BALL}
            low={80}
            high={800}
            step={10}
            onChange={(ballGrams) => change(draft, { ballGrams })}
          />
        </div>
        <Choice
          legend="What goes into the fridge"
          name="plan-cold-as"
          options={[
            ['mass', 'The mass'],
            ['balls', 'The balls'],
          ]}
          value={input.coldAs ?? 'mass'}
          onChoose={(coldAs) => change(draft, rechill(input, coldAs))}
        />
        <PrefermentPart draft={draft} />
        <Scale draft={draft} />
        <KeepAs
          name={draft.value.formula?.name ?? ''}
          testid="formula"
          keep={async (name) => {
            const saved = await keepAs('dough', name, (id) => formulaOf(id, name, draft.value.input));
            if (saved) draft.value = { ...draft.value, formula: usedOf(saved) };
            return saved;
          }}
        />
      </details>
    </>
  );
}

/** Hours in the fridge; a mass has them in its own time. */
function chill(input: PlanSettings, coldHours: number): Partial<PlanSettings> {
  const more = coldHours - (input.coldHours ?? 0);
  if (input.coldAs === 'balls') return { coldHours };
  return { coldHours, bulkHours: Math.min(96, Math.max(0.5, input.bulkHours + more)) };
}

/** The same times in the room and in the fridge, the mass or the balls in it. */
function rechill(input: PlanSettings, coldAs: PlanSettings['coldAs']): Partial<PlanSettings> {
  const cold = input.coldHours ?? 0;
  if (coldAs === (input.coldAs ?? 'mass')) return {};
  const bulkHours = input.bulkHours + (coldAs === 'mass' ? cold : -cold);
  return { coldAs, bulkHours: Math.min(96, Math.max(0.5, bulkHours)) };
}

type DegreesProps = {
  draft: Draft;
  label: string;
  part: 'roomC' | 'flourC' | 'tapC' | 'fridgeC';
  value: number;
  low: number;
  high: number;
};

const Degrees = ({ draft, label, part, value, low, high }: DegreesProps): JSX.Element => (
  <Stepper
    label={label}
    unit={`°${unit.value}`}
    value={Math.round(inUnit(value, unit.value) * 10) / 10}
    low={inUnit(low, unit.value)}
    high={inUnit(high, unit.value)}
    step={Math.round(differenceInUnit(1, unit.value))}
    onChange={(typed) => change(draft, { [part]: unit.value === 'F' ? fromFahrenheit(typed) : typed })}
  />
);

/** Instead of a size: as much as there is of flour, or a mass of dough. */
function Scale({ draft }: { draft: Draft }): JSX.Element {
  const by = useSignal<'flour' | 'dough'>('flour');
  const grams = useSignal('');
  const ball = (input: PlanSettings): number =>
    (by.value === 'flour' ? ballOfFlour : ballOfMass)(Number(grams.value.replace(',', '.')), input);
  const size = ball(draft.value.input);
  const usable = size >= 80 && size <= 800;
  return (
    <div class="row scale">
      <Choice
        legend="Use up"
        name="plan-scale"
        options={[
          ['flour', 'Flour at hand'],
          ['dough', 'A mass of dough'],
        ]}
        bind={by}
      />
      <TextField label="Grams" kind="decimal" bind={grams} />
      <Button disabled={!usable} onClick={() => change(draft, { ballGrams: size, diameterCm: undefined })}>
        {usable ? `Make balls of ${size} g` : 'Balls are 80 to 800 g'}
      </Button>
    </div>
  );
}

function formulaOf(id: string, name: string, input: PlanSettings): DoughFormula {
  const { hydration, saltFraction, oilFraction, sugarFraction, yeast, yeastFraction, bulkHours, doughC } =
    input;
  return {
    kind: 'dough',
    id,
    version: 1,
    name,
    hydration,
    saltFraction,
    oilFraction,
    sugarFraction,
    yeast,
    yeastFraction,
    bulkHours,
    coldHours: input.coldHours,
    coldAs: input.coldAs,
    ballHours: input.ballHours,
    kneadMinutes: input.kneadMinutes,
    doughC,
    ballGrams: input.ballGrams ?? USUAL_BALL,
    note: '',
    origin: '',
  };
}
