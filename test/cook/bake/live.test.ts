import { describe, expect, it } from 'vitest';
import { PlayedCook, STEADY, type Launch, type Own, type Result } from './played.ts';

const own = (offAfter: number, turnAfter: number | null = Math.round(0.45 * offAfter)): Own => ({
  offAfter,
  turnAfter,
});

/** The announced time moves as a cook can follow it, with few verdicts. */
function expectCalm({ announced, called }: Result, offAfter: number): void {
  const steps = announced.slice(1).map((each, i) => ({ ...each, from: announced[i]?.offAfter ?? 0 }));
  for (const { since, from, offAfter: to } of steps) {
    expect(since).toBeGreaterThan(60);
    expect(from - since).toBeGreaterThan(30);
    expect(to - since).toBeGreaterThan(30);
  }
  const total = steps.reduce((sum, { from, offAfter: to }) => sum + Math.abs(to - from), 0);
  const net = Math.abs((announced.at(-1)?.offAfter ?? 0) - (announced[0]?.offAfter ?? 0));
  expect(total).toBeLessThanOrEqual(1.5 * net + 1);
  expect(called).toBeGreaterThanOrEqual(0.8 * offAfter - 1);
  expect(called).toBeLessThanOrEqual(1.2 * offAfter + 1);
}

describe('a launch in the middle of the own band, played through the whole of the server', () => {
  it.each([
    // band, plate, mm, dome band, own s, fall °C, recovery s
    [[195, 221], 'steel', 8, [205, 265], 840, 40, 150],
    [[210, 236], 'cast-iron', 12, [210, 260], 690, 0, 150],
    [[238, 266], 'cordierite', 12, [220, 280], 540, 80, 600],
    [[255, 285], 'fireclay', 30, [235, 275], 1200, 12, 60],
    [[262, 292], 'cordierite', 18, [230, 280], 420, 40, Infinity],
    [[290, 320], 'steel', 6, [235, 275], 240, 80, 90],
    [[345, 375], 'fireclay', 60, [320, 380], 150, 12, 30],
    [[385, 415], 'cast-iron', 5, [360, 420], 100, 40, 60],
    [[436, 464], 'cordierite', 20, [400, 480], 60, 80, 120],
  ] as const)(
    'band %j on %s of %d mm, dome %j, own time %d s, fall %d °C: off at the own time, the second pizza too',
    async (stone, material, thicknessMm, dome, offAfter, fall, recovers) => {
      const middle = { stone: (stone[0] + stone[1]) / 2, dome: (dome[0] + dome[1]) / 2 };
      const launch: Launch = { ...STEADY, ...middle, fall, recovers };
      const cook = await PlayedCook.begin(own(offAfter), stone, dome, { material, thicknessMm });
      cook.steady(180, launch);
      for (let pizza = 0; pizza < 2; pizza++) {
        const result = await cook.bake(launch);
        expect(Math.abs(result.called / offAfter - 1)).toBeLessThanOrEqual(0.02);
        expect(result.warnings).toEqual([]);
        cook.steady(120, launch);
      }
    },
    60_000,
  );

  it.each([
    ['never read', 0],
    ['read every 20 s', 20],
    ['looked at every 4 min', 240],
  ] as const)('given a stone that is %s, off at the own time', async (_how, every) => {
    const launch = { ...STEADY, every };
    const cook = await PlayedCook.begin(own(390), [255, 285], [235, 275]);
    cook.steady(300, launch);
    for (let pizza = 0; pizza < 2; pizza++) {
      expect(Math.abs((await cook.bake(launch)).called / 390 - 1)).toBeLessThanOrEqual(0.02);
      cook.steady(180, launch);
    }
  });

  it('given a noisy probe, stays within 4 %', async () => {
    const launch = { ...STEADY, noise: 3 };
    const cook = await PlayedCook.begin(own(390), [255, 285], [235, 275]);
    cook.steady(180, launch);
    for (let pizza = 0; pizza < 3; pizza++) {
      const result = await cook.bake(launch);
      expect(Math.abs(result.called / 390 - 1)).toBeLessThanOrEqual(0.04);
      expectCalm(result, 390);
      cook.steady(120, launch);
    }
  });

  it.each([1, 2, 5, 20])(
    'given a probe of ±2.5 °C read every %d s, whose curve bends by itself, notices no off and calls it in time',
    async (every) => {
      const launch = { ...STEADY, stone: 318, dome: 290, fall: 36, fallsIn: 6, recovers: 30, lid: 24, every };
      const cook = await PlayedCook.begin(own(570, null), [306, 330], [270, 310], {
        material: 'cast-iron',
        thicknessMm: 7,
      });
      cook.steady(180, launch);
      const result = await cook.bake({ ...launch, noise: 2.5 });
      expect(Math.abs(result.called / 570 - 1)).toBeLessThanOrEqual(0.04);
      const { outputs } = cook.bench.session.needCook();
      expect(outputs.filter((each) => each.type === 'noticed' && each.event === 'off')).toEqual([]);
    },
  );

  it('given a launch that is tapped 40 s late, off at the own time from the true launch', async () => {
    const launch = { ...STEADY, tappedAfter: 40 };
    const cook = await PlayedCook.begin(own(390), [255, 285], [235, 275]);
    cook.steady(180, launch);
    expect(Math.abs((await cook.bake(launch)).called / 390 - 1)).toBeLessThanOrEqual(0.02);
  });
});

describe('a launch away from the usual', () => {
  it.each([
    ['hotter', 284, -1],
    ['colder', 256, 1],
  ] as const)(
    'given a stone that is %s, moves the time in that direction in a few steps, and says why',
    async (_how, stone, sign) => {
      const launch = { ...STEADY, stone };
      const cook = await PlayedCook.begin(own(480), [255, 285], [235, 275]);
      cook.steady(180, launch);
      const result = await cook.bake(launch);
      expect(sign * (result.called - 480)).toBeGreaterThan(15);
      expectCalm(result, 480);
      const reasons = cook.reasons();
      expect(reasons.length).toBe(result.announced.length - 1);
      for (const why of reasons)
        expect(why).toMatch(/^Off \d+ s (sooner|later): the stone was \d+ °C (above|below) .*\.$/);
    },
  );

  it.each([
    ['falls', -70, 1, /^Off \d+ s later: the dome is \d+ °C colder than it usually is/],
    ['rises', 70, -1, /^Off \d+ s sooner: the dome is \d+ °C hotter than it usually is/],
  ] as const)(
    'given a dome that %s after the launch, the call follows what the top gets, calmly, and says why',
    async (_how, domeGoes, sign, why) => {
      const cook = await PlayedCook.begin(own(460), [255, 285], [235, 275]);
      for (let pizza = 0; pizza < 2; pizza++) {
        cook.steady(150, STEADY);
        expect((await cook.bake(STEADY)).called).toBe(460);
      }
      cook.steady(150, STEADY);
      const result = await cook.bake({ ...STEADY, domeGoes });
      expect(sign * (result.called - 460)).toBeGreaterThan(20);
      expect(sign * (result.called - 460)).toBeLessThan(0.12 * 460 + 1);
      expectCalm(result, 460);
      expect(cook.reasons().at(-1)).toMatch(why);
    },
  );

  it('given falls that are seen, a deeper one without recovery is called later, within the rule', async () => {
    const cook = await PlayedCook.begin(own(480), [255, 285], [235, 275]);
    const usual = { ...STEADY, fall: 30 };
    for (let pizza = 0; pizza < 3; pizza++) {
      cook.steady(150, usual);
      expect(Math.abs((await cook.bake(usual)).called / 480 - 1)).toBeLessThanOrEqual(0.02);
    }
    cook.steady(150, usual);
    const result = await cook.bake({ ...usual, fall: 80, recovers: Infinity });
    expect(result.called).toBeGreaterThan(500);
    expectCalm(result, 480);
    expect(cook.reasons().at(-1)).toMatch(/colder than it usually is at this point of a bake\.$/);
  });

  it('given a short bake, moves nothing: first minute and last half minute leave no room', async () => {
    const launch = { ...STEADY, stone: 415, dome: 400 };
    const cook = await PlayedCook.begin(own(85), [385, 415], [360, 420]);
    cook.steady(180, launch);
    expect((await cook.bake(launch)).announced).toHaveLength(1);
  });
});

describe('launches that nobody would choose', () => {
  it.each([
    {
      own: own(581, 291),
      stone: 299,
      dome: 248,
      fall: 126,
      fallsIn: 36,
      recovers: 80,
      lid: 68,
      domeGoes: -45,
    },
    {
      own: own(562, 281),
      stone: 220,
      dome: 220,
      fall: 86,
      fallsIn: 15,
      recovers: 75,
      lid: 75,
      domeGoes: -57,
    },
    {
      own: own(439, null),
      stone: 361,
      dome: 368,
      fall: 44,
      fallsIn: 31,
      recovers: 120,
      lid: 67,
      domeGoes: -74,
    },
    {
      own: own(700, 350),
      stone: 290,
      dome: 270,
      fall: 143,
      fallsIn: 20,
      recovers: 60,
      lid: 60,
      domeGoes: -60,
    },
  ])(
    'given a stone that falls by $fall °C and comes back under a dome that stays $domeGoes °C lower, does not take the pizza for off',
    async ({ own: times, ...launch }) => {
      const cook = await PlayedCook.begin(times, [260, 290], [235, 275]);
      const whole = { ...STEADY, ...launch, noise: 1.5 };
      cook.steady(200, whole);
      const { called } = await cook.bake(whole);
      expect(called / times.offAfter).toBeGreaterThan(0.78);
      expect(called / times.offAfter).toBeLessThan(1.22);
    },
  );
});

describe('a pizza without a turn', () => {
  it('given a null, is never called to be turned, on the page and by the engine', async () => {
    const cook = await PlayedCook.begin(own(300, null), [255, 285], [235, 275]);
    cook.steady(180, STEADY);
    const { turns } = await cook.bake({ ...STEADY, stone: 283 });
    expect(turns).toBe(0);
    const turning = await PlayedCook.begin(own(300, 120), [255, 285], [235, 275]);
    turning.steady(180, STEADY);
    expect((await turning.bake(STEADY)).turns).toBeGreaterThan(0);
  });
});

describe('an eater who was listened to', () => {
  it('given verdicts, gets the next launch at their time from its first second', async () => {
    const cook = await PlayedCook.begin(own(90, null), [385, 415], [360, 420], {
      material: 'steel',
      thicknessMm: 6,
    });
    const launch = { ...STEADY, stone: 400, dome: 390, eater: 'Ada' };
    cook.steady(180, launch);
    let last = 90;
    for (let pizza = 0; pizza < 4; pizza++) {
      const { announced, called } = await cook.bake(launch, 'scorched');
      expect(announced).toHaveLength(1);
      expect(called).toBeLessThanOrEqual(last);
      last = called;
      cook.steady(90, launch);
    }
    expect(last).toBeLessThan(80);
    expect((await cook.bake({ ...launch, eater: 'Ada' }, 'right')).called).toBeLessThan(80);
    expect(cook.reasons().at(-1)).toMatch(/^Off \d+ s sooner, by the verdicts of Ada\.$/);
  });

  it('given a launch undone and done again, starts from the own time', async () => {
    const cook = await PlayedCook.begin(own(480), [255, 285], [235, 275]);
    const hot = { ...STEADY, stone: 284 };
    cook.steady(180, hot);
    const again = await cook.launchTwice(hot, 100);
    expect(again.moved).toBeLessThan(470);
    expect(again.relaunched).toBe(480);
  });
});

it('rows of before are read by the clock: their doses at 270 °C mean nothing at 400 °C', async () => {
  const cook = await PlayedCook.begin(own(90, null), [385, 415], [360, 420]);
  cook.steady(120, { ...STEADY, stone: 400 });
  await cook.bakeOfBefore(
    'Ben',
    75,
    { base: 3600, top: 700, wantedBase: 90, wantedTop: 90, drew: 22 },
    'right',
  );
  const { session } = cook.bench;
  const { base } = session.evening.verdicts.of('Ben', session.cook);
  expect(base.pizzas).toBe(1);
  expect(base.ln).toBeLessThan(0);
  expect(base.ln).toBeGreaterThanOrEqual(Math.log(75 / 90));
});
