import { spawn } from 'node:child_process';
import { readdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { Escalated } from '../../shared/escalation.ts';
import { Fault } from '../../shared/fault.ts';
import { systemClock } from '../cook/clock.ts';
import { Incoming } from '../cook/incoming.ts';
import { Person } from '../cook/person.ts';
import { ProbeBook } from '../cook/probe-book.ts';
import { Reach } from '../cook/reach.ts';
import { REHEARSAL_PACE, type Tape } from '../cook/player.ts';
import { openRecording } from '../course/recording.ts';
import { createLive } from '../hub/live.ts';
import { Escalator } from '../escalate/escalator.ts';
import { sendMqtt } from '../escalate/mqtt.ts';
import { sendWebhook } from '../escalate/webhook.ts';
import { buildApp } from '../http/app.ts';
import { accessRoutes } from '../http/routes/access.ts';
import { escalationRoutes } from '../http/routes/escalation.ts';
import { apiRoutes } from '../http/routes/registry.ts';
import { Stage } from '../cook/stage.ts';
import { lockFolder } from '../store/database.ts';
import { createSources } from '../source/registry.ts';
import { openStore } from '../store/sqlite.ts';
import { bleChild, page, recordings } from './files.ts';
import { dataFolder, numberOption, options } from './command.ts';
import { createHome } from './home.ts';
import { LAN_PORT, addressesOf } from './lan.ts';

declare const PEELSIDE_VERSION: string;

const DEFAULT_PORT = 8180;
const BEAT_MS = 50;
const ESCALATE_MS = 1000;
/** The bundled rehearsal, made by the project's own simulator. */
const REHEARSAL = 'good-evening';

async function loadTape(path: string): Promise<Tape> {
  const recording = await openRecording(path);
  const lines = [];
  for await (const line of recording.lines(({ number, why }) =>
    console.error(`${path}, line ${number} was skipped: ${why}.`),
  ))
    lines.push(line);
  return { name: recording.header.name ?? basename(path, '.jsonl'), header: recording.header, lines };
}

/** A recording by name among the bundled ones only, so that the page can't reach other files; `played` is the --play file. */
const tapeFinder =
  (played: string | undefined) =>
  async (name: string | undefined): Promise<Tape> => {
    if (name === undefined && played !== undefined) return loadTape(played);
    const bundled = (await readdir(recordings)).filter((file) => file.endsWith('.jsonl'));
    const file = `${name ?? REHEARSAL}.jsonl`;
    if (!bundled.includes(file))
      throw new Fault(
        'not-found',
        `There is no recording "${name}": there are ${bundled.map((one) => basename(one, '.jsonl')).join(', ')}.`,
      );
    return loadTape(join(recordings, file));
  };

export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, {
    port: { type: 'string' },
    host: { type: 'string' },
    data: { type: 'string' },
    play: { type: 'string' },
    pace: { type: 'string' },
    rehearse: { type: 'boolean' },
    serial: { type: 'string', multiple: true },
    lan: { type: 'boolean' },
    'lan-port': { type: 'string' },
    cert: { type: 'string' },
    key: { type: 'string' },
    'no-open': { type: 'boolean' },
  });
  const port = numberOption('port', values.port, DEFAULT_PORT, [0, 65_535]);
  const pace = numberOption('pace', values.pace, values.play ? 1 : REHEARSAL_PACE, [1, 10_000]);
  const lanPort = numberOption('lan-port', values['lan-port'], LAN_PORT, [0, 65_535]);
  const addresses = addressesOf(values);
  const tape = tapeFinder(values.play);
  if (values.play !== undefined) await tape(undefined);

  const folder = dataFolder(values.data);
  const unlock = lockFolder(folder);
  const store = openStore(folder, { now: () => systemClock.wall() });
  const mended = store.mended();
  if (mended !== null) console.log(`Not kept: ${mended}`);
  const stage: Stage = new Stage({
    store,
    clock: systemClock,
    changed: (readings) => live.changed(readings),
    sources: () => reach.sources(),
    lostChannels: () => reach.lostChannels(),
    tape,
  });
  const incoming = new Incoming(stage);
  const person = new Person(stage);
  const reach = new Reach({
    sources: createSources({
      bleChild: bleChild,
      serialPorts: values.serial ?? [],
    }),
    clock: systemClock,
    frame: (body) => incoming.frame(body),
    changed: () => stage.changed(),
  });
  const probes = new ProbeBook(store, stage, reach);
  const live = createLive(() => stage.now());
  const routes = apiRoutes({ stage, incoming, person, reach, probes, store, version: PEELSIDE_VERSION });
  const escalator = new Escalator({
    store,
    now: () => stage.now(),
    listeners: () => live.listeners(),
    wall: () => systemClock.wall(),
    sendWebhook,
    sendMqtt,
    sayHere,
  });
  const home = createHome({ options: values, port: lanPort, folder, shelf: store, clock: systemClock, live });
  const all = [...routes, ...accessRoutes(home.access), ...escalationRoutes(escalator)];
  const app = buildApp(all, page, PEELSIDE_VERSION, home.access);
  await app.ready();
  home.serve(app.server, (request, reply) => app.routing(request, reply));

  stage.resume();
  const nothingToWatch = stage.runningId === null && store.probes().length === 0;
  const rehearses = values.play !== undefined || (values.rehearse === true && nothingToWatch);
  if (rehearses) await stage.rehearse(undefined, pace);

  const { loopback: host } = addresses;
  const address = await app.listen({ port, host }).catch((error: unknown) => {
    store.close();
    throw listenFault(error, host, port);
  });
  await home.listen().catch((error: unknown) => {
    throw listenFault(error, addresses.lan ?? '', lanPort, '--lan-port');
  });
  reach.want(store.probes());
  const beat = setInterval(() => stage.beat(), BEAT_MS);
  const escalate = setInterval(() => escalator.beat(), ESCALATE_MS);
  if (rehearses)
    console.log(
      `REHEARSAL: plays a recording at ${pace}×. Nothing here is measured now; leave it with one tap on the page.`,
    );
  home.tell();
  console.log(`peelside is at ${address}`);
  if (values.rehearse && !values['no-open'] && process.stdout.isTTY) openPage(address);

  const stop = async (): Promise<void> => {
    clearInterval(beat);
    clearInterval(escalate);
    home.stop();
    live.close();
    await reach.stop();
    await app.close();
    store.close();
    unlock();
    process.exit(0);
  };
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop());
}

/** An urgent alert that no page has brought to anybody; a terminal may ring. */
function sayHere({ message, reason }: Escalated): void {
  const ring = process.stdout.isTTY ? '\u0007' : '';
  const why = reason === 'no-page' ? 'no page is open to say so' : 'nobody has answered it on a page';
  console.log(`${ring}ALERT: ${message} (${why})`);
}

function listenFault(error: unknown, host: string, port: number, option = '--port'): Fault {
  const code = error instanceof Error && 'code' in error ? error.code : '';
  if (code === 'EADDRINUSE')
    return new Fault(
      'conflict',
      `Port ${port} is taken, perhaps by another peelside: stop that one or choose another with ${option}.`,
    );
  if (code === 'EACCES')
    return new Fault(
      'conflict',
      `Port ${port} may not be used by this user: choose one above 1023 with ${option}.`,
    );
  return new Fault(
    'unusable',
    `The address ${host}:${port} can't be served (${error instanceof Error ? error.message : String(error)}): choose another with --host.`,
  );
}

/** Shows the page where a desktop is there; where not, the printed address does. */
function openPage(address: string): void {
  const opener = process.platform === 'darwin' ? 'open' : 'xdg-open';
  spawn(opener, [address], { stdio: 'ignore', detached: true })
    .on('error', () => {})
    .unref();
}
