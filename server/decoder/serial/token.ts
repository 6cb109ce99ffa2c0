import type { UnitName } from '../../../shared/mapping.ts';

/** What a board writes for one value: a number with or without its unit, or a word for no value. */
export type Token = { value: number | null; unit?: UnitName; fault?: string };

const NUMBER = /^([-+]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:e[-+]?\d+)?)\s*(.*)$/iu;

const UNITS: readonly (readonly [RegExp, UnitName])[] = [
  [/^(°\s*|deg\s*)?c(elsius)?$/iu, 'C'],
  [/^(°\s*|deg\s*)?f(ahrenheit)?$/iu, 'F'],
  [/^k(elvin)?$/iu, 'K'],
  [/^mv$/iu, 'mV'],
  [/^[uµμ]v$/iu, 'uV'],
  [/^v(olts?)?$/iu, 'V'],
  [/^(ohms?|Ω|ω)$/iu, 'ohm'],
  [/^k\s*(ohms?|Ω|ω)$/iu, 'kohm'],
];
const OPEN = /^(open([-_ ]?circuit)?|oc|unplugged|disconnected|nc|no[-_ ]?probe)$/iu;
const SHORT = /^(short([-_ ]?circuit)?|shorted|sc|scg|scv)$/iu;
const NONE = /^([-+]?nan|null|none|n\/?a|err(or)?|fault|fail(ed)?|[-+]?inf(inity)?|ol|hi|lo|-+|\?+|\*+|—)$/iu;

export const unitOf = (text: string): UnitName | undefined =>
  UNITS.find(([pattern]) => pattern.test(text.trim()))?.[1];

/** Percent is a battery or humidity: which, only the name tells. */
const PERCENT = /^%(rh)?$/iu;

/** Null when the text is no value: another word, or a number in a unit that has nothing to do with temperature. */
export function readToken(text: string): Token | null {
  const trimmed = text.trim();
  if (OPEN.test(trimmed)) return { value: null, fault: 'open-circuit' };
  if (SHORT.test(trimmed)) return { value: null, fault: 'short-circuit' };
  if (NONE.test(trimmed)) return { value: null, fault: `the board sent "${trimmed}" for a value` };
  const [, digits = '', rest = ''] = NUMBER.exec(trimmed) ?? [];
  if (digits === '') return null;
  const value = Number(digits.replace(',', '.'));
  if (!Number.isFinite(value)) return { value: null, fault: 'the number sent is beyond all bounds' };
  if (rest === '') return { value };
  if (PERCENT.test(rest)) return { value, unit: 'percent' };
  const unit = unitOf(rest);
  return unit === undefined ? null : { value, unit };
}

const SUFFIX = /(?:[_\s([/-]+)(°?[cf]|celsius|fahrenheit|kelvin|[mu]v|volts?|k?ohms?)[\])]?$/iu;
/** The unit that a name ends with: `stone_f`, `dome (°C)`, "probe_mV". */
export const unitInName = (name: string): UnitName | undefined => unitOf(SUFFIX.exec(name)?.[1] ?? '');

const JUNCTION = /^(cj|cjc|junction|cold([-_ ]?junction)?|ref(erence)?|internal|tref)(?![a-z])/iu;
const BATTERY = /^(vbat|bat(t|tery)?)(?![a-z])/iu;
const OTHER =
  /^(time(stamp)?|ts|ms|millis|secs?|seconds|uptime|seq|count(er)?|id|hum(idity)?|rh|pressure|hpa|rssi|snr|vcc|vbat|version|fw|heap|date|status|state|code|checksum|crc)(?![a-z])/iu;

export const isJunction = (name: string): boolean => JUNCTION.test(name);
export const isBattery = (name: string): boolean => BATTERY.test(name);
/** Names of what boards send beside temperatures. */
export const isAuxiliary = (name: string): boolean => OTHER.test(name);
