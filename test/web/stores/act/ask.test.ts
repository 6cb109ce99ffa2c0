import { beforeEach, expect, it } from 'vitest';
import { asked, askToLaunch, askToTakeOff } from '../../../../web/stores/act/ask.ts';
import { now } from '../../../../web/stores/live.ts';
import { makeNow, pizza } from '../../support/now.ts';

const LID = { text: 'Vents first.', why: 'A flash.', source: 'common practice' };
const lying = pizza('p1', { name: 'Ada', launchedAt: 3000 });
const next = pizza('p2', { name: 'Ben' });
const show = (pizzas = [lying, next]): void => {
  now.value = makeNow({ pizzas, lidHazard: LID });
};

beforeEach(() => {
  show();
});

it('given an off that is asked about, the question stands while the pizza lies as it did', () => {
  askToTakeOff('p1', 'Ada');
  show([{ ...lying }, { ...next, likes: 'crisp' }]);
  expect(asked.value?.still?.()).toBe(true);
});

it('given an off that is asked about, the question is over once the pizza is off by another key', () => {
  askToTakeOff('p1', 'Ada');
  show([{ ...lying, offAt: 3400 }, next]);
  expect(asked.value?.still?.()).toBe(false);
});

it('given a launch that is asked about, the question is over once that pizza was launched elsewhere', () => {
  askToLaunch('p2', 'Ben');
  show([lying, { ...next, launchedAt: 3400 }]);
  expect(asked.value?.still?.()).toBe(false);
});

it('given a question about a pizza, it is over once the cook is gone', () => {
  askToTakeOff('p1', 'Ada');
  now.value = makeNow({ cook: null, pizzas: [], lidHazard: null });
  expect(asked.value?.still?.()).toBe(false);
});
