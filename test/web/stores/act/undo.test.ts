import { describe, expect, it } from 'vitest';
import { ofCook, offer, OFFER_MS, stillOffered, without } from '../../../../web/stores/act/undo.ts';

const offerOf = (key: number, cook: string | null = null) => ({
  key,
  label: `act ${key}`,
  undo: async () => {},
  cook,
});

describe('undo offers', () => {
  it('stand for ten seconds at least, the newest first', () => {
    const offers = offer(offer([], offerOf(1), 0), offerOf(2), 3000);
    expect(offers.map((o) => o.key)).toEqual([2, 1]);
    expect(OFFER_MS).toBeGreaterThanOrEqual(10_000);
    expect(stillOffered(offers, 10_000).map((o) => o.key)).toEqual([2, 1]);
    expect(stillOffered(offers, OFFER_MS + 1).map((o) => o.key)).toEqual([2]);
  });
  it('never cover the screen', () => {
    let offers = offer([], offerOf(0), 0);
    for (let key = 1; key < 10; key++) offers = offer(offers, offerOf(key), key);
    expect(offers.length).toBe(2);
    expect(offers[0]?.key).toBe(9);
  });
  it('go with the cook that they are of', () => {
    const offers = offer(offer([], offerOf(1, '7'), 0), offerOf(2), 0);
    expect(ofCook(offers, '7').map((o) => o.key)).toEqual([2, 1]);
    expect(ofCook(offers, '8').map((o) => o.key)).toEqual([2]);
    expect(ofCook(offers, null).map((o) => o.key)).toEqual([2]);
  });
  it('go when taken', () => {
    expect(without(offer(offer([], offerOf(1), 0), offerOf(2), 0), 1).map((o) => o.key)).toEqual([2]);
  });
});
