import { Fault, messageOf } from '../shared/fault.ts';
import { helpText } from './command/help.ts';
import { commands } from './command/command-list.ts';

/** The `peelside` command. Exit code 0, or 1 with one plain sentence on stderr; a stack trace only with --debug. */
async function main(argv: readonly string[]): Promise<void> {
  const args = argv.filter((arg) => arg !== '--debug');
  const [name = 'help', ...rest] = args;
  const command = commands.find((command) => command.name === name);
  if (!command || name === 'help' || rest.includes('--help')) {
    const known = command !== undefined || ['help', '--help', '-h'].includes(name);
    (known ? console.log : console.error)(
      known
        ? helpText(commands)
        : `There is no command "${name}": use one of ${commands.map((command) => command.name).join(', ')}.`,
    );
    if (!known) process.exitCode = 1;
    return;
  }
  const { run } = await command.load();
  await run(rest, command.usage);
}

/** Output piped into a program that stops reading (`| head`) is not a fault. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
});

/** What is kept holds secrets (a webhook's, a broker's password, keys of thermometers): it is for this user alone. */
process.umask(0o077);

main(process.argv.slice(2)).catch((error: unknown) => {
  const debug = process.argv.includes('--debug');
  if (debug) console.error(error);
  else if (error instanceof Fault) console.error(error.message);
  else console.error(`Something went wrong (${messageOf(error)}): run it again with --debug to see where.`);
  process.exit(1);
});
