import { spawn } from 'node:child_process';
import { readdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { Escalated } from '../../../shared/api/escalation.ts';
import { Fault, messageOf } from '../../../shared/fault.ts';
import { Publisher } from '../../broker/publisher.ts';
import { systemClock } from '../../cook/live/clock.ts';
import { REHEARSAL_PACE } from '../../cook/rehearsal/player.ts';
import type { RehearsalRecording } from '../../cook/rehearsal/rehearsal-recording.ts';
import { removeLongDeleted } from '../../cook/history/deleted-cooks.ts';
import { forgetUnfinished } from '../../cook/portable/cook-import.ts';
import { openRecording } from '../../core/recording-reader.ts';
import { Escalator } from '../../escalate/escalator.ts';
import { sendMqtt } from '../../escalate/send-mqtt.ts';
import { sendWebhook } from '../../escalate/send-webhook.ts';
import { buildApp } from '../../http/app.ts';
import { accessRoutes } from '../../http/routes/machine/access-routes.ts';
import { escalationRoutes } from '../../http/routes/machine/escalation-routes.ts';
import { apiRoutes } from '../../http/routes/all-routes.ts';
import { finishRestore } from '../../store/repair/copy.ts';
import { lockFolder } from '../../store/database.ts';
import { createSources } from '../../source/source-list.ts';
import { removePort, writePort } from './served-port.ts';
import { openStore } from '../../store/sqlite.ts';
import { bleChild, page, recordings } from '../files.ts';
import { dataFolder, numberOption, options } from '../command.ts';
import { composeServer } from './compose.ts';
import { firstScreenOf } from './first-screen-of.ts';
import { createHome } from '../home-network.ts';
import { LAN_PORT, addressesOf } from './lan.ts';

declare const PEELSIDE_VERSION: string;

const DEFAULT_PORT = 8180;
const TICK_MS = 50;
/** How often it is looked what is to be sent out. */
const SEND_EVERY_MS = 1000;
const DAY_MS = 86_400_000;
/** The bundled rehearsal, made by the project's own simulator. */
const REHEARSAL = 'good-evening';

async function loadRecording(path: string): Promise<RehearsalRecording> {
  const recording = await openRecording(path);
  const lines = [];
  for await (const line of recording.lines(({ number, why }) =>
    console.error(`${path}, line ${number} was skipped: ${why}.`),
  ))
    lines.push(line);
  return { name: recording.header.name ?? basename(path, '.jsonl'), header: recording.header, lines };
}

/** A recording by name among the bundled ones only, so that the page can't reach other files; `played` is the --play file. */
const recordingFinder =
  (played: string | undefined) =>
  async (name: string | undefined): Promise<RehearsalRecording> => {
    if (name === undefined && played !== undefined) return loadRecording(played);
    const bundled = (await readdir(recordings)).filter((file) => file.endsWith('.jsonl'));
    const file = `${name ?? REHEARSAL}.jsonl`;
    if (!bundled.includes(file))
      throw new Fault(
        'not-found',
        `There is no recording "${name}": there are ${bundled.map((file) => basename(file, '.jsonl')).join(', ')}.`,
      );
    return loadRecording(join(recordings, file));
  };

export async function run(args: string[], usage: string): Promise<void> {
  const { values } = options(usage, args, {
    port: { type: 'string' },
    host: { type: 'string' },
    data: { type: 'string' },
    play: { type: 'string' },
    pace: { type: 'string' },
    open: { type: 'boolean' },
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
  const recording = recordingFinder(values.play);
  if (values.play !== undefined) await recording(undefined);

  const folder = dataFolder(values.data);
  const unlock = lockFolder(folder);
  if (finishRestore(folder))
    console.log('An interrupted restore was completed; what was there before is set aside.');
  const store = openStore(folder, { now: () => systemClock.wall() });
  const repairNote = store.repairNote();
  if (repairNote !== null) console.log(`Not kept: ${repairNote}`);
  const inside = composeServer({
    store,
    clock: systemClock,
    recording,
    sources: (broker) => createSources({ bleChild, serialPorts: values.serial ?? [], broker }),
  });
  const { session, registry, broker, live } = inside;
  const routes = apiRoutes({ ...inside, version: PEELSIDE_VERSION });
  const escalator = new Escalator({
    store,
    document: session,
    pages: live,
    clock: systemClock,
    sendWebhook,
    sendMqtt,
    announceHere,
  });
  const publisher = new Publisher({
    broker,
    document: session,
    clock: systemClock,
  });
  const home = createHome({ options: values, port: lanPort, folder, shelf: store, clock: systemClock, live });
  const all = [...routes, ...accessRoutes(home.access), ...escalationRoutes(escalator)];
  const app = buildApp(all, page, PEELSIDE_VERSION, home.access, firstScreenOf(session));
  await app.ready();
  home.serve(app.server, (request, reply) => app.routing(request, reply));

  forgetUnfinished(store);
  session.resume();
  const rehearses = values.play !== undefined && session.cook?.isUnderWay !== true;
  if (rehearses) await session.rehearse(undefined, pace);
  else if (values.play !== undefined)
    console.log('A cook is running and goes on: end it to play a recording.');

  const { loopback: host } = addresses;
  const address = await app.listen({ port, host }).catch((error: unknown) => {
    store.close();
    throw listenFault(error, host, port);
  });
  await home.listen().catch((error: unknown) => {
    throw listenFault(error, addresses.lan ?? '', lanPort, '--lan-port');
  });
  registry.subscribe(store.probes());
  const ticker = setInterval(() => session.advance(), TICK_MS);
  void publisher.begin();
  const goOut = setInterval(() => {
    escalator.tick();
    publisher.tick();
  }, SEND_EVERY_MS);
  const look = (): void => void removeLongDeleted(store, systemClock.wall()).catch(console.error);
  look();
  const lookDaily = setInterval(look, DAY_MS);
  if (rehearses)
    console.log(
      `REHEARSAL: plays a recording at ${pace}×. Nothing here is measured now; leave it with one tap on the page.`,
    );
  home.tell();
  writePort(folder, Number(new URL(address).port));
  console.log(`peelside is at ${address}`);
  if (values.open && !values['no-open'] && process.stdout.isTTY) openPage(address);

  const stop = async (): Promise<void> => {
    clearInterval(ticker);
    clearInterval(goOut);
    clearInterval(lookDaily);
    home.stop();
    live.close();
    await Promise.all([registry.stop(), publisher.stop()]);
    await app.close();
    store.close();
    removePort(folder);
    unlock();
    process.exit(0);
  };
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void stop());
}

/** An urgent alert that no page has brought to anybody; a terminal may ring. */
function announceHere({ message, reason }: Escalated): void {
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
    `The address ${host}:${port} can't be served (${messageOf(error)}): choose another with --host.`,
  );
}

/** Shows the page where a desktop is there; where not, the printed address does. */
function openPage(address: string): void {
  const opener = process.platform === 'darwin' ? 'open' : 'xdg-open';
  spawn(opener, [address], { stdio: 'ignore', detached: true })
    .on('error', () => {})
    .unref();
}
