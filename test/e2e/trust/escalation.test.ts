import { createServer } from 'node:http';
import { expect, it } from 'vitest';
import { signatureOf } from '../../../server/escalate/send-webhook.ts';
import { violations } from '../../support/page/axe.ts';
import { openPage } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { startServer } from '../../support/server.ts';
import { listen } from '../../support/endings.ts';

it('a webhook is set on the page, tried, told of when it fails, and switched off', async () => {
  const came: { body: string; signature: unknown }[] = [];
  let status = 204;
  const hook = createServer((request, answer) => {
    let body = '';
    request.on('data', (bytes: Buffer) => (body += bytes.toString()));
    request.on('end', () => {
      came.push({ body, signature: request.headers['x-peelside-signature'] });
      answer.writeHead(status).end();
    });
  });
  const port = await listen(hook);

  const server = await startServer();
  const page = await openPage(browser, `${server.url}/#/settings`);
  const part = (name: string) => page.getByTestId(`webhook-${name}`);
  const state = () => part('state').textContent();
  await part('url').fill(`http://127.0.0.1:${port}/hook`);
  await part('secret').fill('too short');
  await part('keep').click();
  await page.getByTestId('trouble').getByText(/16/).waitFor();
  expect(await state()).toBe('Off.');
  await part('secret').fill('flour, water, salt, yeast');
  await part('keep').click();
  await expect.poll(state).toBe(`On, to http://127.0.0.1:${port}.`);

  await page.getByTestId('escalation-try').click();
  await expect.poll(() => Promise.resolve(came.length)).toBe(1);
  expect(JSON.parse(came[0]?.body ?? '')).toMatchObject({ reason: 'test' });
  expect(came[0]?.signature).toBe(signatureOf(came[0]?.body ?? '', 'flour, water, salt, yeast'));

  status = 500;
  await page.getByTestId('escalation-try').click();
  await expect.poll(state).toMatch(/did not get there: it answered 500/);
  expect(await violations(page)).toEqual([]);
  await part('off').click();
  await expect.poll(state).toBe('Off.');
  await server.stop();
});
