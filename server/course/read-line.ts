import type { z } from 'zod';
import { Fault, firstIssue } from '../../shared/fault.ts';
import {
  RECORDING_VERSION,
  bleLine,
  eventLine,
  readingLine,
  recordingHeader,
  serialLine,
  spotLine,
  type RecordingHeader,
  type RecordingLine,
} from '../../shared/recording.ts';

function parseJson(text: string): Record<string, unknown> {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    throw new Fault('invalid', 'it is not JSON');
  }
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new Fault('invalid', 'it is not a JSON object');
  return value as Record<string, unknown>; // checked above
}

/** @throws Fault that says why this can't be the first line of a recording. */
export function readHeader(text: string): RecordingHeader {
  const value = parseJson(text);
  if (value['recording'] !== RECORDING_VERSION)
    throw new Fault(
      'invalid',
      'recording' in value
        ? `this recording is of version ${JSON.stringify(value['recording'])} and peelside reads version ${RECORDING_VERSION}: update peelside`
        : 'the first line is not the header of a recording ({"recording":1,…})',
    );
  const parsed = recordingHeader.safeParse(value);
  if (!parsed.success)
    throw new Fault('invalid', `the header is wrong: ${firstIssue(parsed.error.issues).text}`);
  return parsed.data;
}

function schemaFor(value: Record<string, unknown>): z.ZodType<RecordingLine> {
  if ('event' in value) return eventLine;
  if (value['source'] === 'ble') return bleLine;
  if (value['source'] === 'serial') return serialLine;
  if (value['source'] === 'spot') return spotLine;
  return readingLine;
}

/** The commonest line by far; its members are checked here at a tenth of the cost. */
function isPlainReading(value: Record<string, unknown>): boolean {
  return (
    typeof value['t'] === 'number' &&
    value['t'] >= 0 &&
    typeof value['channel'] === 'string' &&
    typeof value['celsius'] === 'number' &&
    Object.keys(value).length === 3
  );
}

/** One later line of a recording. @throws Fault that says what is wrong with it. */
export function readLine(text: string): RecordingLine {
  const value = parseJson(text);
  if (isPlainReading(value)) return value as RecordingLine; // its three members were just checked
  const parsed = schemaFor(value).safeParse(value);
  if (!parsed.success) throw new Fault('invalid', firstIssue(parsed.error.issues).text);
  return parsed.data;
}
