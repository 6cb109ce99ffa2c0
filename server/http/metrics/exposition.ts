/**
 * The text format of OpenMetrics 1.0.0. Pure.
 *
 *     # TYPE name gauge
 *     # UNIT name celsius          the name ends with it
 *     # HELP name words
 *     name{label="value"} 12.5
 *     # EOF
 */
export const OPENMETRICS = 'application/openmetrics-text; version=1.0.0; charset=utf-8';

type Labels = Record<string, string>;
export type Sample = { labels?: Labels; value: number };
export type Family = {
  name: string;
  type: 'gauge' | 'counter' | 'stateset' | 'info' | 'summary';
  unit?: string;
  help: string;
  samples: Sample[];
};

export const exposition = (families: readonly Family[]): string =>
  `${families
    .filter(({ samples }) => samples.length > 0)
    .map(familyText)
    .join('')}# EOF\n`;

/** What the name of a sample has behind that of its family. */
const SUFFIX = { gauge: '', counter: '_total', stateset: '', info: '_info', summary: '' } as const;

function familyText({ name, type, unit, help, samples }: Family): string {
  const head = [
    `# TYPE ${name} ${type}`,
    ...(unit ? [`# UNIT ${name} ${unit}`] : []),
    `# HELP ${name} ${escaped(help)}`,
  ];
  const lines = samples.map(
    ({ labels, value }) => `${name}${SUFFIX[type]}${labelsText(labels)} ${numberText(value)}`,
  );
  return [...head, ...lines].map((line) => `${line}\n`).join('');
}

function labelsText(labels: Labels = {}): string {
  const pairs = Object.entries(labels).map(([name, value]) => `${name}="${escaped(value)}"`);
  return pairs.length === 0 ? '' : `{${pairs.join(',')}}`;
}

/** What is not finite has words of its own ("Canonical Numbers"). */
const numberText = (value: number): string =>
  Number.isFinite(value) || Number.isNaN(value) ? String(value) : value > 0 ? '+Inf' : '-Inf';

const escaped = (text: string): string =>
  text
    // UTF-8 has no half of a surrogate pair.
    .replaceAll(/\p{Surrogate}/gu, '\ufffd')
    .replaceAll('\\', '\\\\')
    .replaceAll('"', '\\"')
    .replaceAll('\n', '\\n');

/** One sample a state, 1 for that which is. */
export const states = (name: string, all: readonly string[], is: string, labels: Labels = {}): Sample[] =>
  all.map((state) => ({ labels: { ...labels, [name]: state }, value: state === is ? 1 : 0 }));
