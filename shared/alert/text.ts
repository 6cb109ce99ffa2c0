import { differenceText, temperatureText, type Unit } from '../units.ts';
import type { Why } from '../words.ts';
import type { AlertName } from './kinds.ts';
import { ALERT_TEXTS } from './texts.ts';
import type { Values } from './kind.ts';

/**
 * What an alert says, in plain words, with the numbers of its `why` in the person's unit.
 * @param pizza name of the one that it is about
 * @returns null where its `why` has not all of them, as it is in cooks that were kept long ago
 */
export function alertText(alert: AlertName, why: Why, unit: Unit, pizza = 'the pizza'): string | null {
  const written = (key: string, write: (value: number) => string): string | null => {
    const value = why[key];
    return typeof value === 'number' ? write(value) : null;
  };
  const say: (values: Values<Why>, pizza: string) => string | null = ALERT_TEXTS[alert];
  return say(
    {
      at: (key) => written(key, (celsius) => temperatureText(celsius, unit)),
      by: (key) => written(key, (celsius) => differenceText(celsius, unit)),
      plain: (key) => (why[key] === undefined ? null : String(why[key])),
    },
    pizza,
  );
}
