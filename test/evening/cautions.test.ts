import { describe, expect, it } from 'vitest';
import { CAUTIONS, cautionsAt, type Moment } from '../../server/evening/cautions.ts';

const ids = (moment: Moment, dismissed?: string[]): string[] =>
  cautionsAt(moment, dismissed).map(({ id }) => id);

describe('cautions', () => {
  it.each<[Moment, string[]]>([
    [{ about: 'light' }, ['smoke', 'place']],
    [{ about: 'lid', dome: 300, starved: true }, ['lid-hot-starved']],
    [{ about: 'lid', dome: null, starved: true }, ['lid-hot-starved']],
    [{ about: 'lid', dome: 300, starved: false }, []],
    [{ about: 'lid', dome: 80, starved: true }, []],
    [{ about: 'stone-on', dome: 200 }, ['stone-warms-with-fire']],
    [{ about: 'stone-on', dome: 30 }, []],
    [{ about: 'top', rawMeat: true }, ['raw-meat', 'toppings-warm']],
    [{ about: 'top' }, ['toppings-warm']],
    [{ about: 'off', stone: 260 }, ['wet-on-hot-stone']],
    [{ about: 'ash' }, ['ash']],
  ])('%o: %o', (moment, want) => expect(ids(moment)).toEqual(want));

  it('come before the lid at a launch from a starved hot fire', () => {
    expect(ids({ about: 'launch', dome: 280, starved: true })[0]).toBe('lid-hot-starved');
  });

  it('can be dismissed, one by one', () => {
    expect(ids({ about: 'light' }, ['smoke'])).toEqual(['place']);
  });

  it.each(Object.entries(CAUTIONS))('%s is short and has its source', (name, { id, text, source }) => {
    expect(id).toBe(name);
    expect(text.length).toBeLessThan(260);
    expect(source.length).toBeGreaterThan(5);
  });

  it('says the figures of the handbook, section 14', () => {
    expect(CAUTIONS.smoke.text).toMatch(/outdoors only/);
    expect(CAUTIONS.place.text).toMatch(/3 m .* 1 m/);
    expect(CAUTIONS['lid-hot-starved'].text).toMatch(/both vents, wait 5 s; lift it 3 cm, wait 3 s/);
    expect(CAUTIONS.ash.text).toMatch(/48 h/);
    expect(CAUTIONS['toppings-warm'].text).toMatch(/2 h .* 1 h .* 32 °C/);
  });
});
