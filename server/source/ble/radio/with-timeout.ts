import { messageOf } from '../../../../shared/fault.ts';
import { RadioFault, type Unsubscribe } from './radio.ts';

type Begin<T> = (done: (value: T) => void, failed: (why: string) => void) => Unsubscribe | void;

/**
 * A promise that resolves or rejects within `ms`, or when `ended` aborts, even if the library never answers.
 * What `begin` returns takes its listeners off again, however it ends.
 */
export function withTimeout<T>(what: string, ms: number, ended: AbortSignal, begin: Begin<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    let cleanUp: Unsubscribe | void = undefined;
    let over = false;
    const finish = (act: () => void): void => {
      if (over) return;
      over = true;
      clearTimeout(timer);
      ended.removeEventListener('abort', gone);
      cleanUp?.();
      act();
    };
    const fail = (why: string): void => finish(() => reject(new RadioFault(`${what}: ${why}`)));
    const gone = (): void => fail('the link ended');
    const timer = setTimeout(() => fail('no answer'), ms);
    ended.addEventListener('abort', gone);
    if (ended.aborted) return gone();
    try {
      cleanUp = begin((value) => finish(() => resolve(value)), fail);
    } catch (error) {
      return fail(messageOf(error));
    }
    if (over) cleanUp?.();
  });
}
