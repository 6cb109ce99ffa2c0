import { expect, it } from 'vitest';
import { Refused } from '../../../../web/api.ts';
import { amend, attempt, actionError, serverIsBack } from '../../../../web/stores/act/acts.ts';

/** Until all that waits for promises alone has been done. */
const flushTasks = (): Promise<void> => new Promise((done) => setImmediate(done));

it('given a tap that is being sent, a second one of the same sends nothing', async () => {
  let arrive: (answer: string) => void = () => {};
  const sent: number[] = [];
  const first = attempt('launch', () => {
    sent.push(1);
    return new Promise<string>((done) => (arrive = done));
  });
  expect(await attempt('launch', async () => sent.push(2))).toBeNull();
  arrive('launched');
  expect(await first).toBe('launched');
  expect(sent).toEqual([1]);
});

it('a second change waits for the first, and is the one that stands', async () => {
  let refuse: (error: Error) => void = () => {};
  const sent: string[] = [];
  const change = (to: string, answer: Promise<string>): Promise<string | null> =>
    amend('unit', () => {
      sent.push(to);
      return answer;
    });
  const first = change('F', new Promise<string>((_, no) => (refuse = no)));
  const second = change('C', Promise.resolve('C'));
  await flushTasks();
  expect(sent).toEqual(['F']);
  refuse(new Error('it was refused'));
  expect(await first).toBeNull();
  expect(await second).toBe('C');
  expect(sent).toEqual(['F', 'C']);
  // What failed was made good by the next one.
  expect(actionError.value).toBeNull();
});

it.each([
  ['that found no server is cleared', 0, null],
  ['that the server refused stays', 409, 'no'],
])('given a server that is back, the error of an act %s', async (_, status, shown) => {
  await attempt('seen', () => Promise.reject(new Refused('no', status)));
  expect(actionError.value).toBe('no');
  serverIsBack();
  expect(actionError.value).toBe(shown);
});
