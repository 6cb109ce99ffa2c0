import { quantileSorted, standardDeviation } from 'simple-statistics';
import { workOut } from '../../../server/evening/plan/planner.ts';
import type { PlanInput } from '../../../shared/evening/evening.ts';
import { describe, expect, it } from 'vitest';
import { leadBelief, leadFor, readyWithin } from '../../../server/evening/plan/fire-lead.ts';
import { createRandom } from '../../simulator/random.ts';

describe('the lead of the fire', () => {
  it('before any cook is about an hour, and 40 to 95 min for most (common practice, no source)', () => {
    const belief = leadBelief([]);
    expect(leadFor(belief, 0.5)).toBeCloseTo(60, 0);
    expect(leadFor(belief, 0.9)).toBeGreaterThan(80);
    expect(leadFor(belief, 0.9)).toBeLessThan(95);
    expect(leadFor(belief, 0.1)).toBeGreaterThan(35);
  });

  it("has Student's t at its quantiles: t(0.9) of 4, 10, 40 degrees 1.533, 1.372, 1.303 (any table; recalled)", () => {
    for (const [nu, t] of [
      [4, 1.533],
      [10, 1.372],
      [40, 1.303],
    ] as const)
      expect(readyWithin({ mu: 0, scale: 1, nu, cooks: 0 }, Math.exp(t))).toBeCloseTo(0.9, 2);
  });

  it('goes over to what this grill did', () => {
    const slow = leadBelief(Array.from({ length: 12 }, (_, i) => 88 + (i % 5)));
    expect(leadFor(slow, 0.5)).toBeGreaterThan(83);
    expect(leadFor(slow, 0.5)).toBeLessThan(92);
    expect(leadFor(slow, 0.9)).toBeLessThan(125);
  });

  it('lets one odd cook move the middle by a third of the distance at most', () => {
    expect(leadFor(leadBelief([120]), 0.5)).toBeLessThan(80);
  });

  it('is early enough 9 times in 10, after 0, 3 and 10 cooks on 1500 grills', () => {
    const dice = createRandom(77);
    for (const cooks of [0, 3, 10]) {
      let early = 0;
      for (let grill = 0; grill < 1500; grill++) {
        const [middle, spread] = [Math.log(60) + 0.15 * dice.normal(), dice.between(0.1, 0.25)];
        const fire = () => Math.min(300, Math.max(10, Math.exp(middle + spread * dice.normal())));
        const lead = leadFor(leadBelief(Array.from({ length: cooks }, fire)), 0.9);
        if (fire() <= lead) early++;
      }
      expect(early / 1500).toBeGreaterThan(0.88);
      expect(early / 1500).toBeLessThan(0.985);
    }
  });

  it('comes to the plain quantile of many cooks, to 5 %', () => {
    const dice = createRandom(4);
    const leads = Array.from({ length: 15 }, () => 70 * Math.exp(0.12 * dice.normal()));
    const logs = leads.map((each) => Math.log(each));
    const middle = quantileSorted(
      [...leads].sort((a, b) => a - b),
      0.5,
    );
    const plain = middle * Math.exp(1.2816 * standardDeviation(logs));
    expect(leadFor(leadBelief(leads), 0.9) / plain).toBeGreaterThan(0.95);
    expect(leadFor(leadBelief(leads), 0.9) / plain).toBeLessThan(1.15);
  });

  it('given a band far above the usual, lights earlier and leaves the vents wider, unless the cooks are known', () => {
    const wish = { serveAt: '2026-05-02T19:00:00Z', pizzas: 3 };
    const hot = { ...wish, stoneBand: [430, 470] as [number, number], bakeMinutes: 1.5 };
    expect(workOut(hot).fire.lead / workOut(wish).fire.lead).toBeGreaterThan(1.5);
    const fireLeads = [90, 95, 88, 92];
    expect(workOut({ ...hot, fireLeads }).fire.lead).toBe(workOut({ ...wish, fireLeads }).fire.lead);
    const vents = (input: PlanInput) => workOut(input).steps.find(({ step }) => step === 'vents')?.text;
    expect(vents(wish)).toContain('to a third');
    expect(vents(hot)).toContain('to two thirds');
  });
});
