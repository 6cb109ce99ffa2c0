import { z } from 'zod';
import { MIXERS, planInput, type Mixer, type PlanInput } from '../../../shared/evening/evening.ts';
import { learnFriction, type Learnt } from '../../evening/dough/friction.ts';
import type { Store } from '../../store/store.ts';

const KEY = 'friction';

type Frictions = Partial<Record<Mixer, Learnt>>;

/** A dough that was measured after kneading, and what its mixer was known for before, so that it can be taken back. */
export const measured = z.object({
  celsius: z.number(),
  mixer: z.enum(MIXERS),
  before: planInput.shape.learntFriction.unwrap().nullable(),
  learnt: z.boolean(),
});
type Measured = z.infer<typeof measured>;

const known = (store: Store): Frictions => (store.setting(KEY) as Frictions | null | undefined) ?? {}; // written here alone

/** What a mixer of this kitchen was found to do; nothing where no dough was measured. */
export function learntFriction(store: Store, mixer: Mixer): { learntFriction?: Learnt } {
  const learnt = known(store)[mixer];
  return learnt ? { learntFriction: learnt } : {};
}

function put(store: Store, mixer: Mixer, learnt: Learnt | null): void {
  const { [mixer]: _, ...others } = known(store);
  store.putSetting(KEY, learnt ? { ...others, [mixer]: learnt } : others);
}

/** Learns from a dough of this plan; measured twice, the later one counts. */
export function measure(store: Store, input: PlanInput, celsius: number, earlier: Measured | null): Measured {
  if (earlier) takeBack(store, earlier);
  const settings = planInput.parse(input);
  const { mixer } = settings;
  const before = known(store)[mixer] ?? null;
  const learnt = learnFriction(settings, celsius, before);
  if (learnt) put(store, mixer, learnt);
  return { celsius, mixer, before, learnt: learnt !== null };
}

export function takeBack(store: Store, { mixer, before, learnt }: Measured): void {
  if (learnt) put(store, mixer, before);
}
