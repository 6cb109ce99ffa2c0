import type { Clock } from '../../server/source/timing.ts';

/** A clock whose hands a test turns. */
export class FakeClock implements Clock {
  private time = 0;
  private due: { at: number; act: () => void }[] = [];

  now(): number {
    return this.time;
  }

  after(ms: number, act: () => void): () => void {
    const timer = { at: this.time + ms, act };
    this.due.push(timer);
    return () => {
      this.due = this.due.filter((other) => other !== timer);
    };
  }

  get timers(): number {
    return this.due.length;
  }

  /** Goes on by `ms`; what falls due on the way happens in its order, promises in between. */
  async pass(ms: number): Promise<void> {
    const end = this.time + ms;
    await flushMicrotasks();
    for (;;) {
      const next = this.due.filter((each) => each.at <= end).sort((a, b) => a.at - b.at)[0];
      if (!next) break;
      this.due = this.due.filter((each) => each !== next);
      this.time = Math.max(this.time, next.at);
      next.act();
      await flushMicrotasks();
    }
    this.time = end;
  }
}

/** Lets promises that are ready come to their ends. */
export async function flushMicrotasks(): Promise<void> {
  for (let i = 0; i < 5; i += 1) await new Promise((resolve) => setImmediate(resolve));
}
