import {
  planInput,
  planOutput,
  type Caution,
  type Evening,
  type PlanOutput,
  type PlanSettings,
} from '../../../shared/evening/evening.ts';
import { strict } from '../../../shared/api/strict.ts';
import { DEFAULT_TARGETS } from '../../../shared/engine.ts';
import { temperatureText } from '../../../shared/units.ts';
import { Fault, firstIssue } from '../../../shared/fault.ts';
import { spoken } from '../dough/dough-notes.ts';
import { recipeOf } from '../dough/recipe/recipe.ts';
import { ferment } from '../dough/fermentation.ts';
import { figure } from '../arithmetic.ts';
import { startingText } from '../stone/other-material.ts';
import { soakMinutes } from '../stone/stone-setting.ts';
import { leadBelief, leadFor, slownessOf } from './fire-lead.ts';
import { fitOf } from './alternatives.ts';
import { layoutOf, type Layout } from './run-layout.ts';
import { nightNote } from './night-work.ts';
import { kilograms } from './step-text.ts';
import { timeline, utc } from './timeline.ts';

/** A name that the plan does not know is refused, since what it was to say would be lost. */
const fromOutside = strict(planInput);

/** @throws Fault naming the entry and what is expected of it */
function settingsOf(input: unknown): PlanSettings {
  const parsed = fromOutside.safeParse(input);
  if (parsed.success) return parsed.data;
  const { at, message } = firstIssue(parsed.error.issues);
  throw new Fault('invalid', `${at || 'The evening'} can't be used: ${message}.`, at);
}

const note = (id: string, text: string, source: string): Caution => ({ id, text, source });

/** What another material than the usual one wants; none where its person has a band of their own for it. */
function stoneNotes({ stone, stoneBand, unit }: PlanSettings): Caution[] {
  const [low, high] = DEFAULT_TARGETS.stone;
  const isUsual = stoneBand?.[0] === low && stoneBand[1] === high;
  const text = startingText(DEFAULT_TARGETS.stone, stone, unit);
  if (text === '' || (stoneBand && !isUsual)) return [];
  return [
    note(
      'other-material',
      isUsual
        ? `${text} The steps still name the band that is set, which is for cordierite: set it first.`
        : text,
      'our estimate, between equal contact temperature (textbook) and equal stone temperature',
    ),
  ];
}

function runNotes(
  settings: PlanSettings,
  { launches, refuels, charcoal: { burns, have } }: Layout,
): Caution[] {
  const { pizzas, unit, bakeMinutes, recoveryMinutes } = settings;
  const hot = (celsius: number): string => temperatureText(celsius, unit);
  const notes = [
    note(
      'charcoal-amount',
      `Have ${kilograms(have)} of lump charcoal: about ${kilograms(burns)} will burn, the rest glows to the end${refuels.length > 0 ? `. It is more than a middling firebox holds, which is filled up before pizza ${refuels.map(({ pizza }) => pizza).join(' and ')}` : ''}.`,
      'heat balance of a middling grill, learnt from what you added; our estimate',
    ),
  ];
  const last = pizzas > 2 ? `, the last ${spoken((launches.at(-1) ?? 0) / 60)} after the first` : '';
  if (pizzas > 1)
    notes.push(
      note(
        'sharing',
        `One pizza comes every ${figure(bakeMinutes + recoveryMinutes)} min${last}: cut each for everyone at the table. To eat together, keep them on a rack in an oven at ${hot(80)}, above ${hot(60)} all through, for half an hour at most.`,
        'hot-holding: US Food Safety and Inspection Service; the rest common practice',
      ),
    );
  return notes;
}

function fireOf(settings: PlanSettings): Evening['fire'] {
  const belief = leadBelief(settings.fireLeads);
  const slow = slownessOf(settings, belief);
  const soak = soakMinutes(settings.stone);
  const minutes = (p: number): number => Math.round(leadFor(belief, p) * slow) + soak;
  return {
    lead: minutes(0.9),
    middle: minutes(0.5),
    between: [minutes(0.1), minutes(0.9)],
    cooks: belief.cooks,
    soak,
  };
}

const once = (cautions: readonly Caution[]): Caution[] => [
  ...new Map(cautions.map((each) => [each.id, each])).values(),
];

/**
 * The whole evening worked out, for pages and for `replan`.
 * @throws Fault `invalid` in one sentence for input that is missing, or outside the range of a calculation
 */
export function workOut(input: unknown): Evening {
  const evening = wished(settingsOf(input));
  const fit = fitOf(evening, wished);
  // Of a dough that is too late nobody works at night.
  const night = fit.fits ? nightNote(evening, wished) : [];
  return {
    ...evening,
    ...fit,
    doughNotes: [...night, ...evening.doughNotes],
    cautions: [...night, ...evening.cautions],
  };
}

/** The evening as it is asked for, however late it is. */
function wished(settings: PlanSettings): Evening {
  const fermentation = ferment(settings);
  const { notes: doughNotes, hours: _, ...fermented } = fermentation;
  const recipe = recipeOf(settings, fermentation);
  const fire = fireOf(settings);
  const layout = layoutOf(settings, fire.lead, fermentation.ballHours);
  const steps = timeline({ settings, recipe, fermentation, fire, layout });
  const serveAt = utc(Date.parse(settings.serveAt));
  return {
    settings,
    serveAt,
    ...recipe,
    ...fermented,
    doughNotes,
    fire,
    fits: true,
    lastOffAt: steps.findLast(({ step }) => step === 'off')?.at ?? serveAt,
    charcoalGrams: layout.charcoal.burns,
    charcoalToHave: layout.charcoal.have,
    steps,
    cautions: once([
      ...doughNotes,
      ...runNotes(settings, layout),
      ...stoneNotes(settings),
      ...steps.flatMap((each) => each.cautions),
    ]),
  };
}

/** An evening as `peelside plan` answers it: what that names of it. */
const asOutput = ({ preferment, instead, cautions, ...evening }: Evening): PlanOutput =>
  planOutput.parse({
    ...evening,
    ...(preferment && { preferment }),
    ...(instead && {
      instead: instead.map((change) =>
        'dough' in change ? { text: change.text, dough: change.dough } : change,
      ),
    }),
    cautions: cautions.map(({ text, source }) => `${text} (${source})`),
  });

/** @throws Fault as `workOut` does */
export const plan = (input: unknown): PlanOutput => asOutput(workOut(input));

/**
 * The plan for an evening written as JSON.
 * @throws Fault in one sentence for text that is no JSON, or an evening that can't be planned, unknown names among it
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
  return plan(input);
}
