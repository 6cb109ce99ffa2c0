import { MAX_SECONDS } from '../../../shared/bounds.ts';
import { Fault } from '../../../shared/fault.ts';
import type { RunningCook } from './running.ts';

/** A little less than what can be read back, since readings come until it is noticed, s. */
export const LONGEST_COOK = MAX_SECONDS - 60;
/** More than any evening has by far; undoing goes on. */
export const MAX_EVENTS = 2000;

/** @throws Fault `conflict` when people and pages have said all that a cook has room for */
export function needRoom(cook: RunningCook | null): void {
  if (cook && cook.events.length >= MAX_EVENTS)
    throw new Fault('conflict', `A cook has room for ${MAX_EVENTS} events: end it and start another.`);
}
