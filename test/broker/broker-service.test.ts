import { expect, it } from 'vitest';
import { BrokerService } from '../../server/broker/broker-service.ts';
import { patchBroker } from '../../shared/api/broker.ts';
import { scratch } from '../support/server.ts';
import { storeIn } from '../support/session.ts';

const store = storeIn(scratch());
const access = (url: string, username: string, password?: string) =>
  patchBroker.parse({ access: { url, username, password } });

it('given a password, the broker or its user changed, forgets it; another setting changed, keeps it', async () => {
  const broker = new BrokerService(store);
  const stored = (): string | undefined => new BrokerService(store).setting().access?.password;
  await broker.patch(access('mqtt://one.example', 'peel', 'flour and water'));
  expect(JSON.stringify(broker.view())).not.toContain('flour');
  await broker.patch({ access: { url: 'mqtt://one.example', username: 'peel', version: '3.1.1' } });
  expect(stored()).toBe('flour and water');
  await broker.patch(access('mqtt://one.example', 'other'));
  expect(stored()).toBeUndefined();
  await broker.patch(access('mqtt://one.example', 'peel', 'flour and water'));
  await broker.patch(access('mqtt://two.example', 'peel'));
  expect(stored()).toBeUndefined();
  await broker.patch({ access: null });
  expect(new BrokerService(store).view()).toEqual({ access: null, publish: null });
});

it('given a setting that a damaged database spoiled, begun, is without a broker', () => {
  store.putSetting('broker', { access: { url: 'http://nowhere' } });
  expect(new BrokerService(store).view()).toEqual({ access: null, publish: null });
});
