import { useSignal } from '@preact/signals';
import type { JSX } from 'preact';
import { useEffect } from 'preact/hooks';
import type { Material, StoneSetup } from '../../../shared/evening/evening.ts';
import type { LessonList, StoneAnswer } from '../../../shared/evening/plan.ts';
import { call } from '../../api.ts';
import { formatTemperature } from '../../lib/format.ts';
import { attempt } from '../../stores/act/acts.ts';
import { changeSettings, loadSettings, settings, unit } from '../../stores/settings.ts';
import { Button } from '../button/index.tsx';
import { RareIcon } from '../icon/rare.tsx';
import { Choice } from '../sheet/choice.tsx';
import { Stepper } from './stepper.tsx';

const MATERIALS: readonly (readonly [Material, string])[] = [
  ['cordierite', 'Cordierite'],
  ['fireclay', 'Fireclay'],
  ['steel', 'Steel'],
  ['cast-iron', 'Cast iron'],
];

/** The stone, what its make and setting mean, and what the verdicts taught. */
export function StonePage(): JSX.Element {
  useEffect(() => void loadSettings(), []);
  const set = settings.value;
  return (
    <div class="page plan">
      <h1>Stone and tastes</h1>
      {set ? <Setup setup={set.stone} /> : <p role="status">Fetching them …</p>}
      <Lessons />
    </div>
  );
}

function Setup({ setup }: { setup: StoneSetup }): JSX.Element {
  const change = (patch: Partial<StoneSetup>): Promise<boolean> =>
    changeSettings({ stone: { ...setup, ...patch } });
  return (
    <section class="plan-card">
      <h2>How the stone lies</h2>
      <Choice
        legend="Made of"
        name="material"
        options={MATERIALS}
        value={setup.material}
        onChoose={(material) => void change({ material })}
        testid="material"
      />
      <Stepper
        label="Thickness"
        unit="mm"
        value={setup.thicknessMm}
        low={5}
        high={60}
        onChange={(thicknessMm) => void change({ thicknessMm })}
      />
      <Stepper
        label="Air gap over the deflector"
        unit="mm"
        value={setup.gapMm}
        low={0}
        high={100}
        onChange={(gapMm) => void change({ gapMm })}
      />
      <Means setup={setup} />
    </section>
  );
}

/** What make and setting mean, asked anew with each change. */
function Means({ setup }: { setup: StoneSetup }): JSX.Element | null {
  const answer = useSignal<StoneAnswer | null>(null);
  const targets = settings.value?.targets;
  const ask = async (): Promise<void> => {
    answer.value = (await attempt('stone', () => call<StoneAnswer>('GET', '/api/stone'))) ?? answer.value;
  };
  useEffect(() => void ask(), [JSON.stringify([setup, targets])]);
  if (!answer.value || !targets) return null;
  const { contactC, equalBand, equalText, soakMinutes, advice } = answer.value;
  const isSet = targets.stone[0] === equalBand[0] && targets.stone[1] === equalBand[1];
  return (
    <div class="stone-means" data-testid="stone-means">
      <p>
        In the middle of its band the dough first touches it at about{' '}
        <strong>{formatTemperature(contactC, unit.value)}</strong>; hold it for{' '}
        <strong>{soakMinutes} min</strong> once its surface is in the band, until it is warm right through
        (our estimates, from textbook properties of the material).
      </p>
      {equalText && <p>{equalText}</p>}
      {!isSet && (
        <Button
          data-testid="set-band"
          onClick={() => void changeSettings({ targets: { ...targets, stone: equalBand } })}
        >
          Set the band to {formatTemperature(equalBand[0], unit.value)} to{' '}
          {formatTemperature(equalBand[1], unit.value)}
        </Button>
      )}
      {advice && <p>By your last cook: {advice}</p>}
    </div>
  );
}

function Lessons(): JSX.Element {
  const list = useSignal<LessonList['lessons'] | null>(null);
  const ask = async (method: 'GET' | 'DELETE', query = ''): Promise<void> => {
    const answer = await attempt('lessons', () => call<LessonList>(method, `/api/lessons${query}`));
    if (answer) list.value = answer.lessons;
  };
  useEffect(() => void ask('GET'), []);
  return (
    <section class="plan-card" aria-label="What your verdicts taught">
      <h2>What your verdicts taught</h2>
      {list.value?.length === 0 && (
        <p>Nothing yet: say of a pizza how base and top came out, and the next one's times lean that way.</p>
      )}
      <ul class="lessons" data-testid="lessons">
        {list.value?.map(({ eater, base, top }) => (
          <li key={eater}>
            <p>
              <strong>{eater || 'Nobody in particular'}</strong> Base: {base.words} Top: {top.words}
            </p>
            <Button onClick={() => void ask('DELETE', `?${new URLSearchParams({ eater })}`)}>
              <RareIcon name="bin" /> Forget
            </Button>
          </li>
        ))}
      </ul>
    </section>
  );
}
