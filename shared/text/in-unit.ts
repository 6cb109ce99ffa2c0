import { differenceText, temperatureText, type Unit } from '../units.ts';

/** A minus sign in prose may be the typographic one. */
const toNumber = (text: string): number => Number(text.replace('−', '-'));
const digitsOf = (text: string): number => (text.includes('.') ? 1 : 0);

const CELSIUS = /(by |±)?(?:([−-]?\d+(?:\.\d+)?) to )?([−-]?\d+(?:\.\d+)?) °C/g;

/**
 * A sentence of ours that was made in °C, in the person's unit: kept reasons of readings, corrections, rules. Every number
 * before "°C" is a temperature, in a range "20 to 30 °C" both; one after "by" or "±" is a difference, and our sentences
 * are written so. A sentence that says both units stays.
 */
export const textInUnit = (sentence: string, unit: Unit): string =>
  unit === 'C' || sentence.includes('°F')
    ? sentence
    : sentence.replaceAll(CELSIUS, (_all, by: string | undefined, from: string | undefined, to: string) => {
        const write = by === undefined ? temperatureText : differenceText;
        const text = write(toNumber(to), unit, digitsOf(to));
        const start =
          from === undefined ? '' : `${write(toNumber(from), unit, digitsOf(from)).split(' ')[0]} to `;
        return `${by ?? ''}${start}${text}`;
      });
