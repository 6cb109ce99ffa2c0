import { beforeEach, expect, it } from 'vitest';
import { openSession, pass as passWith, type Bench } from '../../support/session.ts';

let bench: Bench;
let dome = 330;
beforeEach(async () => {
  dome = 330;
  bench = openSession();
  bench.session.begin(bench.clock.wall());
  await bench.commands.addPizza({ name: '', eater: '', likes: '', turnAfter: 150, offAfter: 300 });
});

/** Seconds go by under a dome that goes by so much, °C/min. */
function pass(seconds: number, perMinute: number): void {
  for (let i = 0; i < seconds; i++) {
    dome += perMinute / 60;
    passWith(bench, 1, { stone: 270, dome });
  }
}
const why = () => bench.session.now().lidHazard?.why;

it('given low vents and a dome that falls before a launch, the turn and the off are dangerous too, until the vents are opened', async () => {
  await bench.commands.event({ event: 'vent', note: 'a quarter open' });
  pass(120, 0);
  expect(why()).toBeUndefined();
  pass(300, -6);
  expect(why()).toMatch(/low and the dome is falling/);
  await bench.commands.act('launch', 'p1', {});
  pass(150, 2);
  expect(why()).toMatch(/low and the dome is falling/);
  await bench.commands.act('turn', 'p1', {});
  pass(150, -1);
  expect(why()).toMatch(/low and the dome is falling/);
  await bench.commands.event({ event: 'vent', note: 'half open' });
  pass(90, 3);
  expect(why()).toBeUndefined();
});

it('given a lid that was said to be open and never shut, counts as open for some minutes and no longer', async () => {
  await bench.commands.event({ event: 'vent', note: 'nearly shut' });
  pass(60, 0);
  expect(why()).toMatch(/nearly shut/);
  await bench.commands.event({ event: 'lid-open' });
  pass(30, 0);
  expect(why()).toBeUndefined();
  pass(180, 0);
  expect(why()).toMatch(/nearly shut/);
});

it('given a dome that is steady again once no lid upsets it, the lid is safe', async () => {
  await bench.commands.event({ event: 'vent', note: 'a quarter open' });
  pass(300, -6);
  await bench.commands.event({ event: 'lid-open' });
  await bench.commands.event({ event: 'lid-closed' });
  pass(200, 0);
  expect(why()).toBeDefined();
  pass(200, 0);
  expect(why()).toBeUndefined();
});

it('given a lid that still stands open from the launch when the turn is called, the call says from its first moment what goes before the next lid', async () => {
  await bench.commands.event({ event: 'vent', note: 'nearly shut' });
  pass(200, 0);
  await bench.commands.addPizza({ name: '', eater: '', likes: '', turnAfter: 60, offAfter: 300 });
  await bench.commands.act('launch', 'p2', {});
  dome = 270;
  pass(20, 0);
  expect(why()).toBeUndefined();
  dome = 330;
  while (!bench.session.now().alerts.some(({ alert }) => alert === 'turn-due')) pass(1, 0);
  expect(bench.session.now().lid).toBe('open');
  expect(why()).toMatch(/nearly shut/);
});
