import { describe, expect, it } from 'vitest';
import { CAUTIONS, cautionIn, type CautionId } from '../../server/evening/caution-list.ts';

describe('cautions', () => {
  it.each(Object.entries(CAUTIONS))('%s is short, has a label and its source', (_, caution) => {
    expect(caution.text.length).toBeLessThan(270);
    expect(caution.head.length).toBeLessThan(34);
    expect(caution.source.length).toBeGreaterThan(5);
  });

  // US and UK food agencies speak for themselves; all else yields to the maker and the local code.
  const OF_AGENCIES = ['raw-meat', 'raw-flour', 'toppings-warm'];
  it.each(Object.entries(CAUTIONS).filter(([id]) => !OF_AGENCIES.includes(id)))(
    "%s defers to the maker's manual and local codes",
    (_, { text }) => expect(text).toMatch(/maker's manual and local codes come first/),
  );

  it.each([
    // CPSC document 5012: never in a house, garage, vehicle or tent; a window does not help; no warm coals indoors
    ['smoke', /Outdoors only.*house, garage, tent or vehicle.*window/],
    ['warm-coals', /Never store it indoors with warm coals/],
    // model fire code 308.1.4: 10 ft of combustible construction; fire departments: children 3 ft away
    ['place', /3 m .*1 m/],
    // insurer's page on charcoal: 48 h before ash is moved
    ['ash', /cold for 48 h/],
    // USDA: two hours, one above 90 °F
    ['toppings-warm', /2 h .*1 h .*32 °C/],
    // two public grilling-safety pages: vents open, a wait, a crack, then open
    [
      'lid-hot-starved',
      /open the vents, wait 10 s, lift it a hand's breadth, then open; face and arms aside/,
    ],
  ] as const)('%s says what its source says', (id, words) => expect(cautionIn(id, 'C').text).toMatch(words));

  it.each(Object.keys(CAUTIONS) as CautionId[])('%s is said in the unit that was chosen alone', (id) => {
    expect(cautionIn(id, 'F').text).not.toMatch(/°C|\{/);
    expect(cautionIn(id, 'C').text).not.toMatch(/°F|\{/);
    expect(CAUTIONS[id].head + CAUTIONS[id].source).not.toMatch(/°[CF]/);
  });

  it('toppings on a hot day: one hour above 90 °F', () =>
    expect(cautionIn('toppings-warm', 'F').text).toContain('(above 90 °F)'));
});
