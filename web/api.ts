import type { Problem } from '../shared/api/api.ts';

/** The server refused, or did not answer: `message` is one sentence for the person. */
export class Refused extends Error {
  override name = 'Refused';
  readonly status: number;
  constructor(message: string, status: number) {
    super(message);
    this.status = status;
  }
}

const NO_ANSWER = 'The server does not answer: see that it runs and that this device is on its network.';
/** Longer than any answer should take, ms. */
const TIMEOUT_MS = 15_000;

/** A part of the page's code that a tap needs. @throws Refused when it does not come */
export const partForTap = <Part>(load: Promise<Part>): Promise<Part> =>
  load.catch(() => {
    throw new Refused(NO_ANSWER, 0);
  });

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE';

/** Calls the server. @throws Refused. @param body sent as JSON */
export async function call<Answer>(
  method: Method,
  path: string,
  body?: unknown,
  signal?: AbortSignal,
): Promise<Answer> {
  return answered(await send(method, path, body, signal));
}

async function answered<Answer>(answer: Response): Promise<Answer> {
  if (answer.status === 401) location.replace('enter.html');
  if (!answer.ok) throw new Refused(await sentenceOf(answer), answer.status);
  return (await answer.json()) as Answer; // our own server, whose answers are typed by the same schemas
}

async function send(method: Method, path: string, body: unknown, signal?: AbortSignal): Promise<Response> {
  try {
    return await fetch(path, {
      method,
      ...(body !== undefined && {
        body: JSON.stringify(body),
        headers: { 'content-type': 'application/json' },
      }),
      signal: AbortSignal.any([AbortSignal.timeout(TIMEOUT_MS), ...(signal ? [signal] : [])]),
    });
  } catch (error) {
    if (signal?.aborted) throw error;
    throw new Refused(NO_ANSWER, 0);
  }
}

/**
 * Sends a file, with no limit of time. @throws Refused
 * @param sent called with how much has gone, 0 to 1; `fetch` cannot report it
 */
export async function upload<Answer>(
  path: string,
  file: Blob,
  sent: (share: number) => void,
): Promise<Answer> {
  const answer = await new Promise<Response>((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('content-type', 'application/x-ndjson');
    request.upload.addEventListener('progress', ({ loaded, total }) => sent(loaded / Math.max(1, total)));
    request.addEventListener('load', () => resolve(new Response(request.response as string, request))); // its type is text
    request.addEventListener('error', () => reject(new Refused(NO_ANSWER, 0)));
    request.send(file);
  });
  return answered(answer);
}

async function sentenceOf(answer: Response): Promise<string> {
  try {
    const problem = (await answer.json()) as Partial<Problem>; // read field by field below
    if (typeof problem.detail === 'string') return problem.detail;
  } catch {
    // Not a problem document: something between us and the server answered.
  }
  return `The server answered ${answer.status}: try again.`;
}

/** The sentence of whatever went wrong. */
export const errorText = (error: unknown): string =>
  error instanceof Refused ? error.message : 'That did not work: try again.';
