import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { Fault } from '../../../shared/fault.ts';
import { dataFolder, numberOption, onlyWord, options } from '../command.ts';
import { launcher } from '../files.ts';

type ServiceOptions = {
  /** Absolute paths of Node, of the `peelside` command's file and of the data folder. */
  node: string;
  launcher: string;
  data: string;
  port?: number;
  lan: boolean;
};

/**
 * A systemd unit of a user's own (systemd.service(5), systemd.exec(5)). Nearly all of systemd's sandboxing sets
 * NoNewPrivileges or a user namespace where the manager is a user's: under either the kernel ignores the capability
 * that a Node was given for the radio. So only what works without is asked for.
 */
export function serviceUnit({ node, launcher, data, port, lan }: ServiceOptions): string {
  const words = [node, launcher, 'serve', '--no-open', '--data', data];
  if (port !== undefined) words.push('--port', String(port));
  if (lan) words.push('--lan');
  return `[Unit]
Description=peelside: watches the stone and dome of a ceramic grill

[Service]
ExecStart=${words.map(quoted).join(' ')}
Restart=always
RestartSec=1
UMask=0077
LimitCORE=0
TasksMax=128
MemoryMax=1G

[Install]
WantedBy=default.target
`;
}

/** A word of a command line as systemd reads it: in quotes, with % and $ doubled (systemd.service(5), "Command lines"). */
function quoted(word: string): string {
  const safe = word
    .replaceAll('\\', '\\\\')
    .replaceAll('"', '\\"')
    .replaceAll('%', '%%')
    .replaceAll('$', '$$$$');
  return /^[\w./=:@%$+-]+$/.test(safe) ? safe : `"${safe}"`;
}

/** systemd.unit(5): units of a user's own. */
const unitFolder = (): string =>
  join(process.env['XDG_CONFIG_HOME'] ?? join(homedir(), '.config'), 'systemd', 'user');
const UNIT = 'peelside.service';

/** Installs, removes or shows the service that keeps peelside running for this user. */
export async function run(args: string[], usage: string): Promise<void> {
  const { values, positionals } = options(usage, args, {
    data: { type: 'string' },
    port: { type: 'string' },
    lan: { type: 'boolean' },
  });
  const verb = onlyWord(usage, positionals);
  if (process.platform !== 'linux')
    throw new Fault(
      'unusable',
      'This writes a systemd unit, and this machine has no systemd: the README says how a start at login is set up elsewhere.',
    );
  const file = join(unitFolder(), UNIT);
  if (verb === 'install') {
    const port = values.port === undefined ? undefined : numberOption('port', values.port, 8180, [1, 65_535]);
    const data = dataFolder(values.data);
    const unit = serviceUnit({
      node: process.execPath,
      launcher,
      data,
      ...(port !== undefined && { port }),
      lan: values.lan === true,
    });
    mkdirSync(unitFolder(), { recursive: true });
    mkdirSync(data, { recursive: true, mode: 0o700 });
    writeFileSync(file, unit);
    console.log(`Written: ${file}`);
    return control(['daemon-reload'], ['enable', '--now', UNIT]);
  }
  if (verb === 'remove') {
    if (!existsSync(file))
      throw new Fault('not-found', `There is no service to remove: ${file} is not there.`);
    control(['disable', '--now', UNIT]);
    rmSync(file);
    console.log(`Removed: ${file}. Cooks and settings stay where they are.`);
    return control(['daemon-reload']);
  }
  if (verb === 'status') {
    console.log(existsSync(file) ? `Installed: ${file}` : 'Not installed: peelside service install');
    return control(['--no-pager', 'status', UNIT]);
  }
  throw new Fault('invalid', `Use: peelside ${usage}`);
}

/** Asks the user's service manager, one call after the other; where there is none, says what to run later. */
function control(...calls: readonly string[][]): void {
  for (const words of calls) {
    const done = spawnSync('systemctl', ['--user', ...words], { stdio: ['ignore', 'inherit', 'pipe'] });
    if (done.error || (done.status !== 0 && words[0] !== '--no-pager')) {
      console.log(
        `The service manager did not answer (${firstLine(done.stderr) || (done.error?.message ?? 'no reason given')}): log in as this user and run "systemctl --user ${words.join(' ')}".`,
      );
      return;
    }
  }
  if (calls.some((words) => words[0] === 'enable'))
    console.log('To keep it running while nobody is logged in: sudo loginctl enable-linger $USER');
}

const firstLine = (bytes: Buffer | null): string => bytes?.toString().split('\n')[0]?.trim() ?? '';
