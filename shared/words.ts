/** The project's vocabulary, one list a word. Everything that names one of these takes it from here. */

export const ROLES = ['stone', 'dome', 'other'] as const;
export type Role = (typeof ROLES)[number];

export const SOURCES = ['ble', 'serial', 'mqtt', 'http', 'spot', 'replay'] as const;
export type SourceKind = (typeof SOURCES)[number];

/** After the OPC quality idea: `uncertain` is shown with its reason and never raises an alert; `bad` is no value at all. */
export const QUALITIES = ['good', 'uncertain', 'bad'] as const;
export type Quality = (typeof QUALITIES)[number];

export const STONE_STATES = [
  'cold',
  'climbing',
  'soaking',
  'ready',
  'baking',
  'hot',
  'recovering',
  'falling',
  'blind',
] as const;
export type StoneState = (typeof STONE_STATES)[number];

/** `prompt`: good to know now. `act`: do something within minutes. `urgent`: now, or something is spoilt or unsafe. */
export const URGENCIES = ['prompt', 'act', 'urgent'] as const;
export type Urgency = (typeof URGENCIES)[number];

/** Numbers behind a state, alert or forecast, named, for the review to show: `{stone: 263.2, perMinute: 2.4}`. */
export type Why = Record<string, number | string>;

/** ISA-18.2 life of an alert in plain words: NORM, UNACK, ACKED, RTNUN, SHLVD. */
export const ALERT_STATES = ['normal', 'unacknowledged', 'acknowledged', 'returned', 'shelved'] as const;
export type AlertState = (typeof ALERT_STATES)[number];

/** What the engine can read off the curves when nobody tapped. */
export const NOTICED = [
  'lid-open',
  'lid-closed',
  'launch',
  'off',
  'fuel',
  'vent',
  'probe-moved',
  'probe-swapped',
] as const;
export type Noticed = (typeof NOTICED)[number];

/** How a baked base or top came out. */
export const VERDICTS = ['pale', 'right', 'scorched'] as const;
export type Verdict = (typeof VERDICTS)[number];
