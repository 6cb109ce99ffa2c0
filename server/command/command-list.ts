import type { Command } from './command.ts';

/** All commands. A new one: a file here that exports `run`, and its entry below. */
export const commands: readonly Command[] = [
  {
    name: 'serve',
    usage:
      'serve [--port N] [--host A] [--lan [--lan-port N] [--cert FILE --key FILE]] [--data DIR] [--play FILE] [--pace X] [--serial PATH] [--no-open]',
    does: 'the server and its page',
    load: () => import('./serving/serve.ts'),
  },
  {
    name: 'pair',
    usage: 'pair [--look] [--port N] [--data DIR]',
    does: 'prints a code that lets in a device of the home network',
    load: () => import('./serving/pair.ts'),
  },
  {
    name: 'analyse',
    usage: 'analyse FILE… [--given-dome]',
    does: 'runs the engine over a recording; prints JSON Lines',
    load: () => import('./analyse.ts'),
  },
  {
    name: 'scan',
    usage: 'scan [--seconds N] [--json] [--serial PATH]',
    does: 'Bluetooth and serial thermometers in reach, with what each offers',
    load: () => import('./scan.ts'),
  },
  {
    name: 'doctor',
    usage: 'doctor [--data DIR] [--port N] [--serial PATH]',
    does: 'what on this machine would stop a cook from being watched, and how to fix it',
    load: () => import('./doctor.ts'),
  },
  {
    name: 'plan',
    usage: 'plan [FILE]',
    does: 'reads an evening as JSON (file or stdin), prints its plan',
    load: () => import('./plan.ts'),
  },
  {
    name: 'cooks',
    usage: 'cooks [--json] [--data DIR]',
    does: 'lists the stored cooks, each with the number that export takes',
    load: () => import('./data/cooks.ts'),
  },
  {
    name: 'export',
    usage: 'export COOK [--format csv|jsonl] [--keys] [--data DIR]',
    does: 'writes a cook to stdout; --keys: with the keys of encrypting thermometers',
    load: () => import('./data/export.ts'),
  },
  {
    name: 'import',
    usage: 'import FILE [--data DIR]',
    does: 'imports a cook or a recording',
    load: () => import('./data/import.ts'),
  },
  {
    name: 'backup',
    usage: 'backup FILE [--data DIR]',
    does: 'saves all cooks and settings to one file, even while the server runs',
    load: () => import('./data/backup.ts'),
  },
  {
    name: 'restore',
    usage: 'restore FILE [--data DIR]',
    does: 'restores a backup; what is there now is set aside',
    load: () => import('./data/restore.ts'),
  },
  {
    name: 'service',
    usage: 'service install|remove|status [--lan] [--port N] [--data DIR]',
    does: 'keeps the server running for this user, by systemd',
    load: () => import('./service/service.ts'),
  },
];
