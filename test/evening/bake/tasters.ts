import { learn, type Tasted } from '../../../server/evening/bake/learn.ts';
import { createRandom, type Random } from '../../simulator/random.ts';

/**
 * A person with a hidden taste: what they call right, s against the start, how wide it is, and how sure they are of
 * its ends. They know none of the learner's own figures.
 */
export type Taster = { shift: number; right: number; blur: number; random: number };

export const taster = (random: Random, randomVerdicts: number): Taster => ({
  shift: random.between(-75, 75),
  right: random.between(8, 20),
  blur: random.between(2, 10),
  random: randomVerdicts,
});

const WANTED = 450;
/** People do not lift a pizza to the second. */
const HAND = 8;

function verdictOf({ shift, right, blur, random }: Taster, dose: number, dice: Random): Tasted['verdict'] {
  if (dice.chance(random)) return dice.pick(['pale', 'right', 'scorched']);
  const over = dose - WANTED - shift + blur * dice.normal();
  return over < -right ? 'pale' : over > right ? 'scorched' : 'right';
}

/** How far, s, the advice is from the hidden taste after so many pizzas, each baked as advised. */
export function missAfter(pizzas: number, seed: number, randomVerdicts: number): number {
  const dice = createRandom(seed);
  const who = taster(dice, randomVerdicts);
  const tasted: Tasted[] = [];
  for (let i = 0; i < pizzas; i++) {
    const dose = WANTED + learn(tasted, 'a').seconds + HAND * dice.normal();
    tasted.push({ eater: 'a', dose, wanted: WANTED, verdict: verdictOf(who, dose, dice) });
  }
  return Math.abs(learn(tasted, 'a').seconds - who.shift);
}

export function misses(people: number, pizzas: number, randomVerdicts: number, from = 1): number[] {
  return Array.from({ length: people }, (_, i) => missAfter(pizzas, from + i, randomVerdicts)).sort(
    (a, b) => a - b,
  );
}
