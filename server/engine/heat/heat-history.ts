import type { Heat } from './model.ts';

/** Length of a step, s. */
export const STEP_SECONDS = 10;
/** Steps of the time in which a stone that is steady moves by less than `STEADY_CELSIUS`: so the states are defined. */
export const TWO_MINUTES = 120 / STEP_SECONDS;
export const STEADY_CELSIUS = 6;

/** A value of the stone's surface, °C, at the end of step `slot`, with its variance, and that of a leap before it. */
export type Look = { slot: number; celsius: number; variance: number; leap: number };

/** What was so during a step, bits: lid up, pizza on the stone. */
export const LID_FLAG = 1;
export const PIZZA_FLAG = 2;
/** The dome of the step was not measured, only read off now and then. */
export const ROUGH_DOME_FLAG = 4;
/** Learning: what the model does not know is taken for small, so that the whole course is fitted. */
export const LEARNING_FLAG = 8;

/**
 * What a cook showed, a value a step: the dome, °C; hands; and the looks, in order of time. Steps before `first` are
 * forgotten: `start` is the heat at `first`.
 */
export type History = {
  start: Heat;
  /** One standard error of the stone at the start, °C. */
  startError: number;
  /** The cold grill, °C. */
  ground: number;
  dome: number[];
  hands: number[];
  looks: Look[];
};

/** Everything at one temperature, °C. */
export const even = (celsius: number): Heat => ({
  surface: celsius,
  bulk: celsius,
  extra: 0,
  wall: celsius,
  base: celsius,
  pizza: celsius,
});

/** A dome above this, °C, at the first reading is of a grill that has been lit: how warm its stone is, nobody knows; its bulk is cooler. */
const LIT_ABOVE_CELSIUS = 60;

/** @param dome its first value, °C */
export function freshHistory(dome: number): History {
  const isCold = dome < LIT_ABOVE_CELSIUS;
  const ground = isCold ? dome : 20;
  return {
    start: isCold ? even(dome) : { ...even(0.7 * dome), bulk: 0.67 * dome, wall: 0.85 * dome, pizza: ground },
    startError: isCold ? 3 : 0.25 * dome,
    ground,
    dome: [],
    hands: [],
    looks: [],
  };
}
