import type { z } from 'zod';
import { MAX_DEPTH, MAX_SECONDS, isBounded } from '../../shared/bounds.ts';
import { Fault, firstIssue } from '../../shared/fault.ts';
import { photoLine, type PhotoLine } from '../../shared/evening/photo.ts';
import {
  RECORDING_VERSION,
  bleLine,
  eventLine,
  mqttLine,
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
  if (!isBounded(value)) throw new Fault('invalid', `it is nested more than ${MAX_DEPTH} levels deep`);
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
  if (value['source'] === 'mqtt') return mqttLine;
  if (value['source'] === 'spot') return spotLine;
  return readingLine;
}

/** All that every object has by such a name is `constructor`. */
const PLAIN_NAME = /^[a-z][a-z\d-]{0,63}$/;
/** Beyond it the schema looks. */
const MAX_CELSIUS = 1e6;
const isWithin = (value: unknown, low: number, high: number): boolean =>
  typeof value === 'number' && value >= low && value <= high;

/** The commonest line by far; its members are checked here at a tenth of the cost. */
function isPlainReading(value: Record<string, unknown>): boolean {
  return (
    isWithin(value['t'], 0, MAX_SECONDS) &&
    typeof value['channel'] === 'string' &&
    PLAIN_NAME.test(value['channel']) &&
    value['channel'] !== 'constructor' &&
    isWithin(value['celsius'], -MAX_CELSIUS, MAX_CELSIUS) &&
    Object.keys(value).length === 3
  );
}

/** One later line of a recording. @throws Fault that says what is wrong with it. */
export const readLine = (text: string): RecordingLine => checkLine(parseJson(text));

/** A photo among the lines: it replays to nothing, and whoever keeps the cook keeps it too. */
export const isPhotoLine = (text: string): boolean => /^\{"t":[\d.]+,"photo":/.test(text);

/** @throws Fault that says what is wrong with it */
export function readPhotoLine(text: string): PhotoLine {
  const parsed = photoLine.safeParse(parseJson(text));
  if (!parsed.success) throw new Fault('invalid', firstIssue(parsed.error.issues).text);
  return parsed.data;
}

/** The same of what was parsed before. */
export function checkLine(value: Record<string, unknown>): RecordingLine {
  if (isPlainReading(value)) return value as RecordingLine; // its three members were just checked
  const parsed = schemaFor(value).safeParse(value);
  if (!parsed.success) throw new Fault('invalid', firstIssue(parsed.error.issues).text);
  return parsed.data;
}
