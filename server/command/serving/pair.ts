import { code, type CodeAnswer } from '../../../shared/api/access.ts';
import { Fault } from '../../../shared/fault.ts';
import { readPort } from './served-port.ts';
import { dataFolder, numberOption, options } from '../command.ts';

const DEFAULT_PORT = 8180;

/** Asks the server of this machine for a code, and prints it. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, {
    port: { type: 'string' },
    look: { type: 'boolean' },
    data: { type: 'string' },
  });
  const served = readPort(dataFolder(values.data)) ?? DEFAULT_PORT;
  const port = numberOption('port', values.port, served, [1, 65_535]);
  const answer = await ask(`http://127.0.0.1:${port}/api/access/codes`, values.look ? 'look' : 'act');
  console.log(answer.code);
  console.error(
    `It lets one device ${answer.right === 'act' ? 'look and act' : 'look'} within ${Math.round(answer.seconds / 60)} minutes.`,
  );
}

async function ask(url: string, right: CodeAnswer['right']): Promise<CodeAnswer> {
  let answer: Response;
  try {
    answer = await fetch(url, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ right }),
      signal: AbortSignal.timeout(5000),
    });
  } catch {
    throw new Fault(
      'not-found',
      `No peelside answers at ${new URL(url).host}: start it with serve --lan, or give its port with --port.`,
    );
  }
  const body: unknown = await answer.json();
  if (answer.ok) return code.parse(body);
  const detail = typeof body === 'object' && body !== null && 'detail' in body ? body.detail : answer.status;
  throw new Fault('conflict', String(detail));
}
