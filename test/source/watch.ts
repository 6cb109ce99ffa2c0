import type { Device, FrameBody, SourceEvents, SourceStatus } from '../../server/source/source.ts';

type Waiting = { check: () => unknown; resolve: () => void };
/** Longer than anything here takes on a busy machine with two cores, ms. */
const WITHIN = 180_000;

/** Listens to a source, so that a test can wait for what happens instead of sleeping. */
export class Watch implements SourceEvents {
  frames: FrameBody[] = [];
  statuses: SourceStatus[] = [];
  private waiting: Waiting[] = [];

  frame(body: FrameBody): void {
    this.frames.push(body);
    this.look();
  }

  status(status: SourceStatus): void {
    this.statuses.push(status);
    this.look();
  }

  get last(): SourceStatus | undefined {
    return this.statuses.at(-1);
  }

  device(id: string): Device | undefined {
    return this.last?.devices.find((device) => device.id === id);
  }

  /** Only what comes from now on counts. */
  forget(): void {
    this.frames = [];
    this.statuses = this.statuses.slice(-1);
  }

  /** Resolves once `check` is truthy, evaluated whenever something arrives. @throws Error when it never is */
  until(what: string, check: () => unknown): Promise<void> {
    return new Promise((resolve, reject) => {
      if (check()) return resolve();
      const timer = setTimeout(() => {
        this.waiting = this.waiting.filter((each) => each !== waiting);
        reject(new Error(`waited in vain until ${what}; last: ${JSON.stringify(this.last)}`));
      }, WITHIN);
      const waiting: Waiting = {
        check,
        resolve: () => {
          clearTimeout(timer);
          resolve();
        },
      };
      this.waiting.push(waiting);
    });
  }

  /** Until a frame has come (from now on) that has these members. */
  async frameWith(part: Record<string, unknown>): Promise<FrameBody> {
    const find = (): FrameBody | undefined => this.frames.find((frame) => has(frame, part));
    await this.until(`a frame with ${JSON.stringify(part)} came`, find);
    const found = find();
    if (!found) throw new Error('it was there a moment ago');
    return found;
  }

  private look(): void {
    const met = this.waiting.filter((each) => each.check());
    this.waiting = this.waiting.filter((each) => !met.includes(each));
    for (const each of met) each.resolve();
  }
}

const has = (frame: object, part: Record<string, unknown>): boolean =>
  Object.entries(part).every(([key, value]) => (frame as Record<string, unknown>)[key] === value);
