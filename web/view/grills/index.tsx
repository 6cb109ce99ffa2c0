import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { GrillList } from '../../../shared/api/grill.ts';
import { differenceText, temperatureText, type Unit } from '../../../shared/units.ts';
import { asked } from '../../stores/act/ask.ts';
import { actOnGrill, grills, loadGrills } from '../../stores/grills.ts';
import { unit } from '../../stores/settings.ts';
import { Button, Form } from '../button/index.tsx';
import { TextField } from '../sheet/fields.tsx';
import { Choice } from '../sheet/choice.tsx';

type Grill = GrillList['grills'][number];

/** What earlier cooks taught of each grill or stone, by name, and which it is now. */
export function Grills(): JSX.Element | null {
  useEffect(() => void loadGrills(), []);
  const list = grills.value;
  const name = useSignal('');
  if (!list) return null;
  const add = async (): Promise<void> => {
    if (await actOnGrill({ do: 'add', name: name.value.trim() })) name.value = '';
  };
  return (
    <section data-testid="grills">
      <h2>What your grill has taught</h2>
      {list.grills.length > 1 && (
        <Choice
          legend="Grill and stone of now"
          name="grill"
          options={list.grills.map((grill) => [grill.name, grill.name] as const)}
          value={list.current}
          onChoose={(chosen) => void actOnGrill({ do: 'choose', name: chosen })}
          testid="grill"
        />
      )}
      {list.grills
        .filter((grill) => grill.name === list.current)
        .map((grill) => (
          <Taught key={grill.name} grill={grill} unit={unit.value} />
        ))}
      <Form
        class="row"
        onSend={() => {
          if (name.value.trim() !== '') void add();
        }}
      >
        <TextField label="Another grill or stone, by name" bind={name} testid="grill-name" wide />
        <Button type="submit" data-testid="grill-add">
          Add it
        </Button>
      </Form>
      {list.grills
        .filter((grill) => grill.name !== list.current)
        .map((grill) => (
          <p key={grill.name}>
            <Button onClick={() => leaveOut(grill.name)}>Remove “{grill.name}”</Button>
          </p>
        ))}
    </section>
  );
}

const cooksText = (count: number): string => (count === 1 ? 'one cook' : `${count} cooks`);
const pm = (value: number, error: number): string =>
  `${Math.round(value)} ± ${Math.max(1, Math.round(error))}`;

function Taught({ grill, unit }: { grill: Grill; unit: Unit }): JSX.Element {
  const { name, known, cooks, aside } = grill;
  const timed = cooks.flatMap(({ outside, minutes }) =>
    outside === null || minutes === null ? [] : [{ outside, minutes }],
  );
  return (
    <>
      {known ? (
        <dl class="taught" data-testid="grill-known">
          <dt>Learnt from</dt>
          <dd>{cooksText(known.cooks)}</dd>
          <dt>Stone in its band, the dome there in {known.domeMinutes} min and held</dt>
          <dd>{pm(known.ready.value, known.ready.error)} min</dd>
          <dt>Stone follows its dome after</dt>
          <dd>{pm(known.lag.value, known.lag.error)} min</dd>
          <dt>Stone settles above its dome by</dt>
          <dd>
            {differenceText(Math.round(known.offset.value), unit)} ±{' '}
            {differenceText(Math.max(1, Math.round(known.offset.error)), unit)}
          </dd>
          <dt>With the vents shut it still climbs for</dt>
          <dd>{pm(known.bites.value, known.bites.error)} min</dd>
          {known.holds.map(({ below, dome, cooks }) => (
            <>
              <dt key={`h${below}`}>
                With the stone {differenceText(below, unit)} below its band you hold the dome at (
                {cooksText(cooks)})
              </dt>
              <dd key={`d${below}`}>
                {temperatureText(dome.value, unit)} ±{' '}
                {differenceText(Math.max(1, Math.round(dome.error)), unit)}
              </dd>
            </>
          ))}
          {timed.slice(-6).map(({ outside, minutes }, i) => (
            <>
              <dt key={`t${i}`}>At {temperatureText(outside, unit)} outside its warm-up took</dt>
              <dd key={`d${i}`}>{Math.round(minutes)} min</dd>
            </>
          ))}
        </dl>
      ) : (
        <p data-testid="grill-known">Nothing yet: the first whole cook teaches it, an imported one too.</p>
      )}
      {aside.map(({ cook, startedAt }) => (
        <Odd key={cook} name={name} cook={cook} day={new Date(startedAt).toLocaleDateString()} />
      ))}
      {known && (
        <p>
          <Button data-testid="grill-forget" onClick={() => forget(name)}>
            Forget what it taught
          </Button>
        </p>
      )}
    </>
  );
}

/** A cook that fits not what the others taught is asked about. */
const Odd = ({ name, cook, day }: { name: string; cook: number; day: string }): JSX.Element => (
  <div class="row" data-testid="grill-odd">
    <p>The cook of {day} does not fit the others. Was it another stone, or was a probe moved?</p>
    <Button onClick={() => void actOnGrill({ do: 'settle', name, cook, as: 'changed' })}>
      Yes, from then on: start anew
    </Button>
    <Button onClick={() => void actOnGrill({ do: 'settle', name, cook, as: 'odd' })}>
      Leave that cook out
    </Button>
  </div>
);

const forget = (name: string): void => {
  asked.value = {
    title: `Forget what “${name}” taught?`,
    text: 'The next cook starts as on a grill that nobody knows. The cooks themselves stay.',
    why: '',
    yes: 'Forget it',
    act: () => void actOnGrill({ do: 'forget', name }),
  };
};

const leaveOut = (name: string): void => {
  asked.value = {
    title: `Remove “${name}”?`,
    text: 'What its cooks taught goes with it. The cooks themselves stay.',
    why: '',
    yes: 'Remove it',
    act: () => void actOnGrill({ do: 'remove', name }),
  };
};
