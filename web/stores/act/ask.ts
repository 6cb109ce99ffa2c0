import { signal } from '@preact/signals';
import { tellPizza } from './acts.ts';
import { cookKey, now } from '../live.ts';
import { nameOf, waiting } from '../derive/pizza-countdowns.ts';
import { judging } from '../screen.ts';

/** What is asked before something is sent that could hurt, or that can't be meant: it stands until it is answered. */
export type Ask = {
  title: string;
  text: string;
  why: string;
  yes: string;
  act(): void;
  /** False once what is asked about was done otherwise, or can't be done any more. */
  still?(): boolean;
};
export const asked = signal<Ask | null>(null);

/**
 * Does `act` at once, or asks first while a lid that goes up could let the fire flare.
 * @param did what was done, in a word or two
 * @param id of the pizza that it is about, if any
 */
export function beforeLid(did: string, act: () => void, besides = '', id: string | null = null): void {
  const lid = now.peek()?.lidHazard;
  if (!lid && !besides) return act();
  const stands = (): string => {
    const { launchedAt, turnedAt, offAt } = now.value?.pizzas.find((p) => p.id === id) ?? {};
    return [cookKey.value, launchedAt, turnedAt, offAt].join();
  };
  const before = stands();
  asked.value = {
    title: lid ? 'Vents first' : 'Another one?',
    text: [lid?.text, besides].filter(Boolean).join(' '),
    why: lid?.why ?? '',
    yes: did,
    act,
    still: () => stands() === before,
  };
}

/** Launches this pizza, null being one that nobody announced; asks where the stone is taken. */
export function askToLaunch(id: string | null, name: string): void {
  const lying = (now.peek()?.pizzas ?? []).filter((p) => p.launchedAt !== null && p.offAt === null);
  const names = lying.map(nameOf).join(', ');
  const did = `${name || 'Pizza'} launched`;
  beforeLid(
    did,
    () => void tellPizza('launch', id, did),
    names && `${names} is on the stone still. Did you launch another beside it?`,
    id,
  );
}

/** Takes this pizza off; how it came out is asked at once, while it is looked at. */
export function askToTakeOff(id: string | null, name: string): void {
  const did = `${name} off the stone`;
  beforeLid(did, () => void tookOff(id, did), '', id);
}

export async function tookOff(id: string | null, did: string): Promise<boolean> {
  // A launch that was only noticed is taken for that of the next pizza.
  const meant = id ?? waiting(now.peek() ?? { pizzas: [] })[0]?.id;
  const isDone = await tellPizza('off', id, did);
  if (isDone && meant !== undefined)
    judging.value = [...judging.peek().filter((other) => other !== meant), meant];
  return isDone;
}
