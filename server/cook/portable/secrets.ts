import type { Probe } from '../../../shared/probe.ts';
import type { RecordingHeader, RecordingLine } from '../../../shared/recording.ts';

/** Options of a probe that only its owner is to know: the key of a device that encrypts what it says. */
const SECRET = 'key';

/** The probe as others may see it. */
export function withoutKey(probe: Probe): Probe {
  if (!probe.options || !(SECRET in probe.options)) return probe;
  const options = Object.fromEntries(Object.entries(probe.options).filter(([name]) => name !== SECRET));
  return { ...probe, options };
}

export const headerWithoutKeys = (header: RecordingHeader): RecordingHeader => ({
  ...header,
  probes: header.probes.map(withoutKey),
});

export const lineWithoutKeys = (line: RecordingLine): RecordingLine =>
  'event' in line && line.event === 'probes' && Array.isArray(line.probes)
    ? { ...line, probes: line.probes.map(withoutKey) }
    : line;
