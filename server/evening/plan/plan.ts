import {
  planInput,
  type Caution,
  type Evening,
  type PlanInput,
  type PlanOutput,
  type PlanSettings,
} from '../../../shared/evening.ts';
import { DEFAULT_TARGETS } from '../../../shared/engine.ts';
import { Fault, firstIssue } from '../../../shared/fault.ts';
import { YEAST_DOUBT, convertYeast } from '../dough/yeast.ts';
import { figure, OutOfRange } from '../range.ts';
import { equalBakeText } from '../stone/contact.ts';
import { leadBelief, leadFor } from './fire.ts';
import { bulkHours, ferment, massesOf, waterNotes, waterOf, type Bulk } from './settle.ts';
import { timeline } from './timeline.ts';

/** @throws OutOfRange naming the entry and what is expected of it */
function settingsOf(input: unknown): PlanSettings {
  const parsed = planInput.safeParse(input);
  if (parsed.success) return parsed.data;
  const { at } = firstIssue(parsed.error.issues);
  const said = parsed.error.issues[0]?.message ?? 'something is wrong with it';
  throw new OutOfRange(`${at || 'The evening'} can't be used: ${said}.`, at);
}

const note = (id: string, text: string, source: string): Caution => ({ id, text, source });

function doughNotes(settings: PlanSettings, yeastFraction: number, bulk: Bulk): Caution[] {
  const instant = convertYeast(yeastFraction, settings.yeast, 'instant');
  const notes = [
    note(
      'yeast-doubt',
      `Yeast and time go together to about ±${YEAST_DOUBT * 100} %: look at the dough, not only at the clock.`,
      'common practice',
    ),
  ];
  if (instant > 0.01) notes.push(note('much-yeast', 'More than 1 % yeast tastes of it.', 'common practice'));
  if (bulk.cold === 0 && bulkHours(bulk) > 24)
    notes.push(
      note(
        'long-warm',
        `${figure(bulkHours(bulk))} h in the room is long: a fridge holds it safer.`,
        'common practice',
      ),
    );
  return notes;
}

/** Balls that wait longer than this, h, for their launch go slack (common practice, no source). */
const BALL_WAITS = 2.5;

/** What another material than the usual one wants. */
function stoneNotes({ stone }: PlanSettings): Caution[] {
  if (stone.material === 'cordierite') return [];
  const text = equalBakeText(DEFAULT_TARGETS.stone, 'cordierite', stone.material);
  return [note('other-material', text, 'contact temperature, handbook section 7')];
}

function runNotes(settings: PlanSettings): Caution[] {
  const hours = ((settings.pizzas - 1) * (settings.bakeMinutes + settings.recoveryMinutes)) / 60;
  if (hours <= BALL_WAITS) return [];
  return [
    note(
      'long-run',
      `The last pizza comes ${figure(hours)} h after the first: keep half of the balls cool until an hour before their turn.`,
      'common practice',
    ),
  ];
}

function fireOf(leads: readonly number[]): Evening['fire'] {
  const belief = leadBelief(leads);
  const minutes = (p: number): number => Math.round(leadFor(belief, p));
  return {
    lead: minutes(0.9),
    middle: minutes(0.5),
    between: [minutes(0.1), minutes(0.9)],
    cooks: belief.cooks,
  };
}

const once = (cautions: readonly Caution[]): Caution[] => [
  ...new Map(cautions.map((each) => [each.id, each])).values(),
];

/**
 * The whole evening worked out, for pages and for `replan`.
 * @throws OutOfRange in one sentence for input that is missing, or outside the range of a calculation
 */
export function workOut(input: unknown): Evening {
  const settings = settingsOf(input);
  const { bulk, yeastFraction } = ferment(settings);
  const dough = massesOf(settings, yeastFraction);
  const waterC = waterOf(settings);
  const fire = fireOf(settings.fireLeads);
  const steps = timeline({ settings, masses: dough, waterC, bulk, lead: fire.lead });
  const water = waterNotes(settings, waterC, dough).map((text, i) =>
    note(`water-${i}`, text, 'handbook section 10'),
  );
  const cautions = once([
    ...water,
    ...doughNotes(settings, yeastFraction, bulk),
    ...runNotes(settings),
    ...stoneNotes(settings),
    ...steps.flatMap((each) => each.cautions),
  ]);
  const { serveAt } = settings;
  return {
    settings,
    serveAt,
    dough,
    waterC,
    yeastFraction,
    bulkHours: bulkHours(bulk),
    coldHours: bulk.cold,
    fire,
    steps,
    cautions,
  };
}

/** An evening as `peelside plan` answers it. */
export const asOutput = ({ dough, waterC, steps, cautions }: Evening): PlanOutput => ({
  dough,
  waterC,
  steps: steps.map(({ at, step, text }) => ({ at, step, text })),
  cautions: cautions.map(({ text, source }) => `${text} (${source})`),
});

/** @throws OutOfRange as `workOut` does */
export const plan = (input: PlanInput): PlanOutput => asOutput(workOut(input));

const unknownNames = (input: unknown): string[] =>
  typeof input === 'object' && input !== null
    ? Object.keys(input).filter((name) => !Object.hasOwn(planInput.shape, name))
    : [];

/**
 * The plan for an evening written as JSON. Names that are not known are left out, and the cautions say so.
 * @throws Fault in one sentence for text that is no JSON, or an evening that can't be planned
 */
export function planFromText(json: string): PlanOutput {
  let input: unknown;
  try {
    input = JSON.parse(json);
  } catch {
    throw new Fault(
      'invalid',
      'The evening is expected as one JSON object, such as {"serveAt":"2026-05-02T19:00:00Z","pizzas":6}.',
    );
  }
  const output = asOutput(workOut(input));
  const unknown = unknownNames(input).map((name) => `"${name}" is not known to the plan and was left out.`);
  return { ...output, cautions: [...unknown, ...output.cautions] };
}
