/** Time as an argument: `mono` for rates and timers, `wall` for labels only. Both in milliseconds. */
export interface Clock {
  /** Milliseconds of a clock that never steps. */
  mono(): number;
  /** Milliseconds since the epoch; may step. */
  wall(): number;
}

export const systemClock: Clock = { mono: () => performance.now(), wall: () => Date.now() };
