import { Fault } from '../shared/fault.ts';
import { commands } from './command/registry.ts';

/** The `peelside` command. Exit code 0, or 1 with one plain sentence on stderr; a stack trace only with --debug. */
async function main(argv: readonly string[]): Promise<void> {
  const args = argv.filter((arg) => arg !== '--debug');
  const [name = 'help', ...rest] = args;
  const command = commands.find((one) => one.name === name);
  if (!command || name === 'help' || rest.includes('--help')) {
    const help = commands.map((one) => `  ${one.usage.padEnd(76)} ${one.does}`).join('\n');
    const known = command !== undefined || ['help', '--help', '-h'].includes(name);
    (known ? console.log : console.error)(
      known
        ? `peelside COMMAND\n\n${help}`
        : `There is no command "${name}": use one of ${commands.map((one) => one.name).join(', ')}.`,
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

main(process.argv.slice(2)).catch((error: unknown) => {
  const debug = process.argv.includes('--debug');
  if (debug) console.error(error);
  else if (error instanceof Fault) console.error(error.message);
  else
    console.error(
      `Something went wrong (${error instanceof Error ? error.message : String(error)}): run it again with --debug to see where.`,
    );
  process.exit(1);
});
