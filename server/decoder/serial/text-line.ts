import { DecodeError } from '../decoder.ts';
import type { UnitName } from '../../../shared/mapping.ts';
import { readToken, unitOf, type Token } from './token.ts';

type LineFormat = 'pairs' | 'json' | 'numbers';
/** What a line says, before it is known which of it is a temperature. */
export type Line = {
  format: LineFormat;
  values: { name: string; token: Token }[];
  /** A unit stated for the whole line. */
  unit?: UnitName | undefined;
};

const MAX_VALUES = 64;
const MAX_JSON_DEPTH = 3;

/** "", "2", "3" … for values that have no names. */
export const placeName = (index: number): string => (index === 0 ? '' : String(index + 1));

/** @param decimalComma whether "270,5" is one number where it could be two. @returns null when it has no value in it */
export function readText(text: string, decimalComma: boolean): Line | null {
  const trimmed = text.trim();
  if (/^[{[]/.test(trimmed)) return readJson(trimmed);
  return readNumbers(trimmed, decimalComma) ?? readPairs(trimmed);
}

// ── {"stone":270.5,"dome":null} ──────────────────────────────────────────────────────────────────────────────────────

/** Boards print NaN and inf into their JSON, which JSON has no word for. */
const NOT_JSON = /([:,[]\s*)[-+]?(?:nan|inf(?:inity)?)(?=\s*[,}\]])/giu;

/** @throws DecodeError where it is no JSON */
export function parseBoardJson(text: string): unknown {
  try {
    return JSON.parse(text.replace(NOT_JSON, '$1null'));
  } catch {
    throw new DecodeError('it begins like JSON and is not whole');
  }
}

function readJson(text: string): Line {
  const value = parseBoardJson(text);
  const values: Line['values'] = [];
  flatten(value, '', 0, values);
  const unit = values.length > 0 ? unitOfJson(value) : undefined;
  return { format: 'json', values, unit };
}

function flatten(value: unknown, name: string, depth: number, found: Line['values']): void {
  if (found.length >= MAX_VALUES) return;
  const token = tokenOfJson(value);
  if (token) found.push({ name, token });
  if (typeof value !== 'object' || value === null || depth >= MAX_JSON_DEPTH) return;
  const isList = Array.isArray(value);
  for (const [i, [key, inner]] of Object.entries(value).entries()) {
    const own = isList ? placeName(i) : key;
    flatten(inner, [name, own].filter((part) => part !== '').join('.'), depth + 1, found);
  }
}

/** A value of JSON that may be one of a thermometer; null for objects, lists and other words. */
export function tokenOfJson(value: unknown): Token | null {
  if (value === null) return { value: null, fault: 'the board sent null for a value' };
  if (typeof value === 'string') return readToken(value);
  if (typeof value !== 'number') return null;
  return Number.isFinite(value) ? { value } : { value: null, fault: 'the number sent is beyond all bounds' };
}

/** The unit that a member called `unit` says. */
export function unitOfJson(value: unknown): UnitName | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  const unit = Object.entries(value).find(([key]) => /^units?$/i.test(key))?.[1] as unknown; // JSON holds anything
  return typeof unit === 'string' ? unitOf(unit) : undefined;
}

// ── 270.5,247.5 ──────────────────────────────────────────────────────────────────────────────────────────────────────

const TIME_OF_DAY =
  /^(\d{4}-\d\d-\d\d([T ]\d\d:\d\d(:\d\d(\.\d+)?)?)?(Z|[-+]\d\d:?\d\d)?|\d{1,2}:\d\d(:\d\d(\.\d+)?)?)$/i;

/** Fields of a line by the strongest separator in it; a comma is one unless something stronger is there. */
export function fieldsOf(text: string, decimalComma: boolean): string[] {
  if (/[;\t|]/.test(text)) return text.split(/[;\t|]/);
  if (text.includes(',') && !decimalComma) return text.split(',');
  return text.split(/\s+/);
}

function readNumbers(text: string, decimalComma: boolean): Line | null {
  const fields = fieldsOf(text, decimalComma)
    .map((field) => field.trim())
    .filter((field) => !TIME_OF_DAY.test(field));
  const tokens = fields.map((field) => (field === '' ? EMPTY : readToken(field)));
  if (tokens.length > MAX_VALUES || !tokens.some((token) => token && token !== EMPTY)) return null;
  const values = tokens.flatMap((token, i) => (token ? [{ name: placeName(i), token }] : []));
  return values.length === tokens.length ? { format: 'numbers', values } : null;
}
const EMPTY: Token = { value: null, fault: 'the board sent nothing for a value' };

// ── stone=270.5 dome=247.5C ──────────────────────────────────────────────────────────────────────────────────────────

/** A name, "=" or ":", then a word; and a unit that stands apart by a space. */
const PAIR =
  /([\p{L}_][\p{L}\p{N}_.#/()°-]*)\s*[=:]\s*([^\s;|=]*[^\s;|=,])(\s+(?:°?[CFK]|[mu]V|V|k?[Oo]hms?|[kK]?Ω|%)(?![\p{L}\p{N}_=:]))?/gu;
/** "Stone top: 270.5": a name of several words, alone in its field. */
const LONE_PAIR = /^\s*([\p{L}_][^=:]*?)\s*[=:]\s*([^=:]+)$/u;

function readPairs(text: string): Line | null {
  const values: Line['values'] = [];
  const add = (name: string, valueText: string): void => {
    const token = readToken(valueText);
    if (!token || values.length >= MAX_VALUES) return;
    const again = values.filter((value) => value.name === name || value.name.startsWith(`${name} `)).length;
    values.push({ name: again ? `${name} ${again + 1}` : name, token });
  };
  // A comma between digits is a decimal one here; any other ends a field.
  for (const part of text.split(/[;\t|]|,(?!\d)|(?<!\d),/)) {
    const alone = LONE_PAIR.exec(part);
    if (alone) add(alone[1] ?? '', alone[2] ?? '');
    else for (const [, name = '', value = '', unit = ''] of part.matchAll(PAIR)) add(name, value + unit);
  }
  return values.length > 0 ? { format: 'pairs', values } : null;
}
