import type { EngineOutput, GrillLesson, GrillPrior } from '../../../shared/engine.ts';
import { createCore, type CookCore } from '../../../server/core/core.ts';
import { caseOf, type Case } from '../case-bank.ts';
import { median, quantile, table, type Figure } from '../scoring/report.ts';
import { readySeconds } from '../scoring/truth.ts';
import { sameGrill } from '../varied/cooks.ts';
import type { Half } from '../varied/structures.ts';

/**
 * What a grill's earlier cooks are worth: each but a grill's first is asked alone and after those before it, every minute
 * from half an hour before, when the stone enters its band and when it is ready.
 */

const COOKS = 4;
const ASKED = { from: 30, to: 3 };
/** Nothing is asked of a cook that young, s. */
const YOUNG = 300;

/** `given`: the dome to come is known, so that the grill alone is judged; `steady`: a patient hand holds it. */
export const MODES = ['steady', 'given', 'ordinary'] as const;
export type Mode = (typeof MODES)[number];

/** `errors`, s, of those of `asked` that were answered. */
type Answers = { asked: number; errors: number[] };
type Taught = {
  name: string;
  alone: Record<Moment, Answers>;
  taught: Record<Moment, Answers>;
  /** What was taught was dropped, as of another grill; and what another grill had taught. */
  isDropped: boolean;
  isAnotherDropped: boolean | null;
};

const MOMENTS = ['bandAt', 'readyAt'] as const;
type Moment = (typeof MOMENTS)[number];

const firstThatLasts = (is: readonly boolean[]): number | null => {
  const t = is.findIndex((_, i) => i + 60 <= is.length && is.slice(i, i + 60).every(Boolean));
  return t < 0 ? null : t;
};

const momentsOf = ({ truth }: Case): Record<Moment, number | null> => ({
  bandAt: firstThatLasts(truth.stone.map((celsius) => celsius >= truth.stoneBand[0])),
  readyAt: firstThatLasts(readySeconds(truth)),
});

const domeOf = ({ lines }: Case): [number, number][] =>
  lines.flatMap((line) =>
    'celsius' in line && line.channel === 'dome' && typeof line.celsius === 'number'
      ? [[line.t, line.celsius]]
      : [],
  );

type Run = { core: CookCore; answers: Record<Moment, Answers> };

type Forecasts = Extract<EngineOutput, { type: 'forecast' }>[];

function answersOf(forecasts: Forecasts, moment: Moment, truly: number | null): Answers {
  const found: Answers = { asked: 0, errors: [] };
  if (truly === null) return found;
  for (let m = ASKED.from; m >= ASKED.to; m--) {
    const at = truly - 60 * m;
    if (at < YOUNG) continue;
    found.asked += 1;
    const forecast = forecasts.findLast(({ t }) => t <= at && t > at - 60)?.[moment] ?? null;
    if (forecast !== null) found.errors.push(Math.abs(forecast - truly));
  }
  return found;
}

function cook(bankCase: Case, prior: GrillPrior | null, mode: Mode): Run {
  const given = mode === 'given' ? domeOf(bankCase) : null;
  const core = createCore({ ...bankCase.header, grill: prior }, given);
  const forecasts: Forecasts = [];
  for (const line of bankCase.lines)
    for (const output of core.line(line).outputs) if (output.type === 'forecast') forecasts.push(output);
  const truly = momentsOf(bankCase);
  return {
    core,
    answers: {
      bandAt: answersOf(forecasts, 'bandAt', truly.bandAt),
      readyAt: answersOf(forecasts, 'readyAt', truly.readyAt),
    },
  };
}

/** The lesson of a cook that was taught by `prior`. */
function lessonOf({ core }: Run, prior: GrillPrior | null): GrillLesson | null {
  const work = core.lesson(prior);
  let piece = work.next();
  while (!piece.done) piece = work.next();
  return piece.value;
}

/** The cooks of each grill, oldest first. */
export const grillsOf = (half: Half, count: number, mode: Mode): Case[][] =>
  Array.from({ length: count }, (_, i) => sameGrill(half, i, COOKS, mode === 'steady').map(caseOf));

/** All cooks but a grill's first. */
export function* learning(grills: Iterable<readonly Case[]>, mode: Mode): Generator<Taught> {
  let ofAnother: GrillPrior | null = null;
  for (const cooks of grills) {
    let prior: GrillPrior | null = null;
    for (const bankCase of cooks) {
      const taught: Run = cook(bankCase, prior, mode);
      const lesson = lessonOf(taught, prior);
      if (prior !== null)
        yield {
          name: bankCase.truth.name,
          alone: cook(bankCase, null, mode).answers,
          taught: taught.answers,
          isDropped: lesson?.fits === false,
          isAnotherDropped: ofAnother && lessonOf(cook(bankCase, ofAnother, mode), ofAnother)?.fits === false,
        };
      prior = (lesson?.fits ? lesson.prior : null) ?? prior;
    }
    ofAnother = prior;
  }
}

const meanOf = (values: readonly number[]): number | null =>
  values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
const share = (part: number, whole: number): number | null => (whole > 0 ? part / whole : null);

/**
 * Worse than this, s, is no worse to the person who waits: a stone that all but settles under its band enters it half an hour
 * sooner or later for a degree more or less, and a few such cooks, or their going unanswered, would make out the mean.
 */
const WORST_SECONDS = 300;

const boundedMean = (errors: readonly number[], asked: number): number | null =>
  asked === 0
    ? null
    : (errors.reduce((sum, error) => sum + Math.min(WORST_SECONDS, error), 0) +
        WORST_SECONDS * (asked - errors.length)) /
      asked;

const WORDS: Record<Moment, string> = { bandAt: 'enters its band', readyAt: 'ready' };

function figuresOf(cooks: readonly Taught[], how: 'alone' | 'taught'): Figure[] {
  const of = (moment: Moment): Figure[] => {
    const errors = cooks.flatMap((cook) => cook[how][moment].errors);
    const asked = cooks.reduce((sum, cook) => sum + cook[how][moment].asked, 0);
    const what = WORDS[moment];
    return [
      { what: `${what}: asked`, value: asked, digits: 0 },
      { what: `${what}: answered`, value: share(errors.length, asked), digits: 3 },
      { what: `${what}: error mean, s`, value: meanOf(errors), digits: 0 },
      {
        what: `${what}: error mean, no answer or over ${WORST_SECONDS} as ${WORST_SECONDS}, s`,
        value: boundedMean(errors, asked),
        digits: 0,
      },
      { what: `${what}: error median, s`, value: median(errors), digits: 0 },
      { what: `${what}: error 90 %, s`, value: quantile(errors, 0.9), digits: 0 },
    ];
  };
  return MOMENTS.flatMap(of);
}

/** Alone and taught side by side, and how often what was taught was taken for another grill's. */
export function learningTable(cooks: readonly Taught[]): string {
  const [alone, taught] = [figuresOf(cooks, 'alone'), figuresOf(cooks, 'taught')];
  const ratios = taught.map(({ what, value }, i): Figure => {
    const before = alone[i]?.value;
    return { what, value: value !== null && before ? value / before : null, digits: 2 };
  });
  const others = cooks.filter(({ isAnotherDropped }) => isAnotherDropped !== null);
  const dropped = (of: readonly Taught[], is: (cook: Taught) => boolean | null): string =>
    `${of.filter(is).length} of ${of.length}`;
  return [
    table([
      { head: 'alone', figures: alone },
      { head: 'taught', figures: taught },
      { head: 'ratio', figures: ratios },
    ]),
    `dropped as another grill's: its own ${dropped(cooks, (cook) => cook.isDropped)}, another's ${dropped(others, (cook) => cook.isAnotherDropped)}`,
  ].join('\n');
}
