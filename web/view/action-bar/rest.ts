/** After a key came to do something else, a finger that falls still means what it did before, ms. */
export const REST_MS = 1500;

/**
 * A key's rest after a change of what it does. Only such a change begins it; numbers that run on, other keys and
 * being drawn again neither begin it nor make it longer.
 */
export class Rest {
  private does: string | null = null;
  private timer: ReturnType<typeof setTimeout> | null = null;
  private readonly over: () => void;

  /** @param over called when a rest is over, so that the key is drawn awake */
  constructor(over: () => void) {
    this.over = over;
  }

  /**
   * To be asked with each drawing, so that no tap falls between a change and its rest.
   * @param does what a tap would do, and to what; null: nothing, as while there is no cook
   */
  asked(does: string | null): boolean {
    if (does !== this.does && does !== null && this.does !== null) this.begin();
    this.does = does;
    return this.timer !== null;
  }

  stop(): void {
    if (this.timer !== null) clearTimeout(this.timer);
    this.timer = null;
  }

  private begin(): void {
    this.stop();
    this.timer = setTimeout(() => {
      this.timer = null;
      this.over();
    }, REST_MS);
  }
}
