import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { expect, it, vi } from 'vitest';
import { BleSource } from '../../server/source/ble/ble.ts';
import { startFakeBle, type FakeBle, type PeripheralSpec } from '../fake-ble-controller/fake-controller.ts';
import { buildChild } from '../fake-ble-controller/child.ts';
import { createRandom } from '../simulator/random.ts';
import { Watch } from './watch.ts';

/**
 * Many peripherals that come, go and talk at twenty times their pace, and nothing is left behind. Short in `npm test`;
 * an hour of a cook is three minutes with twelve: SOAK_SECONDS=180 SOAK_PERIPHERALS=12.
 */
const SECONDS = Number(process.env['SOAK_SECONDS'] ?? 12);
const PERIPHERALS = Number(process.env['SOAK_PERIPHERALS'] ?? 4);
/** Once a second in a cook, at twenty times its pace. ms */
const SPEAKS_EVERY = 50;
/** One of them gets lost every ten seconds of a cook. ms */
const TROUBLE_EVERY = 500;
const MEGABYTE = 1024 * 1024;
const WITHIN = { timeout: 60_000, interval: 100 };

type Held = { heap: number; resources: number; listeners: number; links: number };

/** What the radio's process holds now. */
async function held(fakeBle: FakeBle): Promise<Held> {
  const file = join(fakeBle.env['AIR_FOLDER'] ?? '', 'held.json');
  rmSync(file, { force: true });
  process.kill(fakeBle.adapter.pid, 'SIGUSR2');
  await vi.waitUntil(() => existsSync(file), WITHIN);
  // Written by probe.cjs.
  return JSON.parse(readFileSync(file, 'utf8')) as Held;
}

const SPECS: PeripheralSpec[] = Array.from({ length: PERIPHERALS }, (_, i) => {
  const name = `Probe ${i}`;
  if (i % 2 === 0) return { kind: 'health', name, celsius: 200 + i, every: SPEAKS_EVERY };
  const temperatures = [
    { name: 'Stone', celsius: 250 + i },
    { name: 'Dome', celsius: 280 + i },
  ];
  return { kind: 'environmental', name, temperatures, every: SPEAKS_EVERY };
});

it(`holds ${PERIPHERALS} peripherals for ${SECONDS} s at twenty times the pace and leaves nothing behind`, async () => {
  const before = [process.getActiveResourcesInfo().length, process.eventNames().length];
  const fakeBle = await startFakeBle({ peripherals: SPECS });
  const probe = fileURLToPath(new URL('../fake-ble-controller/probe.cjs', import.meta.url));
  const env = { ...fakeBle.env, NODE_OPTIONS: `${fakeBle.env['NODE_OPTIONS']} --require ${probe}` };
  const source = new BleSource({ child: await buildChild(), env });
  const watch = new Watch();
  source.start(watch);
  const all = SPECS.map((spec) => fakeBle.peripheral(spec.name));
  source.subscribe(all.map(({ address }) => ({ source: 'ble', device: address })));
  const allSpeak = async (): Promise<void> => {
    watch.forget();
    await vi.waitUntil(
      () =>
        all.every((each) => watch.frames.some((frame) => 'device' in frame && frame.device === each.address)),
      WITHIN,
    );
  };
  await allSpeak();
  const { pid } = fakeBle.adapter;
  const first = await held(fakeBle);

  const random = createRandom(7);
  let frames = 0;
  let errors = 0;
  for (let ms = 0; ms < SECONDS * 1000; ms += TROUBLE_EVERY) {
    const peripheral = all[Math.floor(random.between(0, all.length))];
    const kind = random.next();
    if (kind < 0.5) peripheral?.drop();
    else if (kind < 0.7) peripheral?.away(true);
    else if (kind < 0.9) for (const other of all) other.away(false);
    else peripheral?.duplicate(random.chance(0.5));
    errors += 1;
    await wait(TROUBLE_EVERY);
    frames += watch.frames.length;
    watch.forget();
  }
  for (const each of all) each.away(false);
  await allSpeak();
  await vi.waitUntil(() => fakeBle.adapter.links === all.length, WITHIN);
  const last = await held(fakeBle);
  console.log(`${frames} frames, ${errors} errors, ${JSON.stringify({ first, last })}`);

  expect(frames).toBeGreaterThan(SECONDS * PERIPHERALS);
  expect(fakeBle.adapter.pid).toBe(pid);
  expect(last.links).toBe(first.links);
  expect(last.listeners).toBeLessThanOrEqual(first.listeners);
  // A timer or two may be under way.
  expect(last.resources).toBeLessThanOrEqual(first.resources + PERIPHERALS + 4);
  expect(last.heap).toBeLessThan(first.heap + 6 * MEGABYTE);

  await source.stop();
  await fakeBle.close();
  await vi.waitUntil(() => process.getActiveResourcesInfo().length <= (before[0] ?? 0) + 1, WITHIN);
  expect(process.eventNames().length).toBe(before[1]);
});
