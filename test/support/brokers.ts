import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { createServer as createTcp } from 'node:net';
import { join } from 'node:path';
import { Aedes } from 'aedes';
import mqtt from 'mqtt';
import { atEnd, listen } from './endings.ts';
import { scratch, until } from './server.ts';

export type TestBroker = { url: string; port: number; stop(): Promise<void> };

export async function freePort(): Promise<number> {
  const free = createTcp();
  const port = await listen(free);
  free.close();
  await once(free, 'close');
  return port;
}

/**
 * aedes, a broker of the registry: MQTT 3.1.1. Lets in by name and password.
 * @param mayRead whether a topic may be subscribed to
 */
export async function aedes(
  name: string,
  secret: string,
  mayRead: (topic: string) => boolean = () => true,
): Promise<TestBroker> {
  const core = await Aedes.createBroker();
  core.authorizeSubscribe = (_client, wanted, done) => done(null, mayRead(wanted.topic) ? wanted : null);
  core.authenticate = (_client, given, password, done) =>
    done(null, given === name && password?.toString() === secret);
  const port = await listen(createTcp(core.handle));
  const stop = (): Promise<void> => new Promise((resolve) => core.close(resolve));
  atEnd(stop);
  return { url: `mqtt://127.0.0.1:${port}`, port, stop };
}

/**
 * Mosquitto, which speaks MQTT 5 as well; `npm test` finds or installs it.
 * @param more further lines of its configuration, such as "acl_file"
 */
export async function mosquitto(port?: number, more: readonly string[] = []): Promise<TestBroker> {
  const at = port ?? (await freePort());
  const file = join(scratch(), 'mosquitto.conf');
  const lines = [`listener ${at} 127.0.0.1`, 'allow_anonymous true', ...more];
  writeFileSync(file, `${lines.join('\n')}\n`);
  const child: ChildProcess = spawn(process.env['MOSQUITTO'] ?? '/usr/sbin/mosquitto', ['-c', file], {
    stdio: 'ignore',
  });
  const isTls = more.some((line) => line.startsWith('certfile'));
  await until(() => answers(at), Boolean);
  async function stop(): Promise<void> {
    if (child.exitCode !== null || child.signalCode !== null) return;
    child.kill();
    await once(child, 'exit');
  }
  atEnd(stop);
  return { url: `${isTls ? 'mqtts' : 'mqtt'}://127.0.0.1:${at}`, port: at, stop };
}

async function answers(port: number): Promise<boolean> {
  const { connect } = await import('node:net');
  return new Promise((resolve) => {
    const socket = connect(port, '127.0.0.1', () => {
      socket.destroy();
      resolve(true);
    }).on('error', () => resolve(false));
  });
}

export type Writer = {
  publish(topic: string, payload: string | Buffer, retain?: boolean): Promise<void>;
  close(): Promise<void>;
};

/** A board that publishes. */
export async function writer(url: string, access: mqtt.IClientOptions = {}): Promise<Writer> {
  const client = await mqtt.connectAsync(url, { ...access, reconnectPeriod: 0 });
  const close = (): Promise<void> => (client.disconnected ? Promise.resolve() : client.endAsync());
  atEnd(close);
  return {
    publish: async (topic, payload, retain = false) =>
      void (await client.publishAsync(topic, payload, { qos: 1, retain })),
    close,
  };
}
