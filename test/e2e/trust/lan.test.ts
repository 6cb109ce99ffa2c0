import { once } from 'node:events';
import type { Page } from 'playwright-core';
import { beforeAll, describe, expect, it } from 'vitest';
import { LOCALE, openPage, PHONE, TABLET } from '../../support/page/browser.ts';
import { browser } from '../../support/page/test-browser.ts';
import { call, peelside, startServer, until, type Server } from '../../support/server.ts';

let server: Server;
/** Where a device of the home network finds the server. */
let home = '';
let inside = '';

beforeAll(async () => {
  server = await startServer(['--lan', '--lan-port', '0']);
  const line = server.lines.find((text) => text.startsWith('On the home network')) ?? '';
  home = `https://127.0.0.1:${new URL(line.split(': ')[1] ?? '').port}`;
  inside = new URL(server.url).port;
  await call(server.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 263 }] });
});

/** A device of its own: the browser knows neither the authority nor a cookie. */
const device = (viewport = TABLET, path = '/'): Promise<Page> =>
  openPage(browser, home + path, viewport, { ignoreHTTPSErrors: true });
async function enter(page: Page, code: string): Promise<void> {
  await page.getByLabel('Code').fill(code);
  await page.getByRole('button', { name: 'Let it in' }).click();
}

describe('a tablet on the home network', () => {
  it('is asked for a code, refused a wrong one, let in by the right one, and out again when revoked', async () => {
    const tablet = await device();
    await tablet.waitForURL('**/enter.html');
    await enter(tablet, '0000 0000');
    await tablet.getByText('That code is not valid now').waitFor();

    const { code, out } = await peelside(['pair', '--port', inside]);
    expect(code).toBe(0);
    await enter(tablet, out.trim());
    await tablet.waitForURL(`${home}/`);
    await tablet.getByText('263').first().waitFor();

    await tablet.goto(`${home}/#/settings`);
    await tablet.getByTestId('code-look').click();
    const text = await tablet.getByTestId('code').locator('strong').textContent();
    const phone = await device(PHONE);
    await enter(phone, text ?? '');
    await phone.getByText('263').first().waitFor();
    const refused = await phone.evaluate(
      async () =>
        (
          await fetch('/api/cooks', {
            method: 'POST',
            body: '{}',
            headers: { 'content-type': 'application/json' },
          })
        ).status,
    );
    expect(refused).toBe(403);

    await tablet.reload();
    await tablet
      .getByRole('button', { name: 'Revoke Phone' })
      .or(tablet.getByRole('button', { name: 'Revoke Computer' }).nth(1))
      .first()
      .click();
    await phone.waitForURL('**/enter.html');
  });

  it('given a script that has not come, sends no code; it can once the script is there', async () => {
    const tablet = await device(TABLET, '/trust.html');
    let bring = (): void => {};
    const brought = new Promise<void>((resolve) => (bring = resolve));
    await tablet.route('**/enter.js', async (route) => {
      await brought;
      await route.continue();
    });
    // The page is whole only with its script.
    await tablet.goto(`${home}/enter.html`, { waitUntil: 'commit' });
    await tablet.getByLabel('Code').fill('0000 0000');
    await tablet.getByLabel('Name').fill('Tablet');
    const key = tablet.getByRole('button', { name: 'Let it in' });
    expect(await key.isDisabled()).toBe(true);
    await tablet.keyboard.press('Enter');
    bring();
    await key.click();
    await tablet.getByText('That code is not valid now').waitFor();
    expect(tablet.url()).toBe(`${home}/enter.html`);
  });

  it('is told how to trust the server, with a picture that loads', async () => {
    const tablet = await device(TABLET, '/trust.html');
    const fingerprint = await until(
      () => tablet.locator('#fingerprint').textContent(),
      (text) => /^([\dA-F]{2}:){31}[\dA-F]{2}$/.test(text ?? ''),
    );
    expect(server.lines.join('\n')).toContain(fingerprint);
    const width = () => tablet.locator('#qr').evaluate((image: HTMLImageElement) => image.naturalWidth);
    expect(await until(width, (n) => n > 0)).toBeGreaterThan(0);
  });
});

describe('the terminal', () => {
  it('says no secret where it is not a terminal', async () => {
    const { out } = await peelside(['pair', '--port', inside, '--look']);
    const all = server.lines.join('\n');
    expect(all).not.toContain(out.trim());
    expect(all).not.toMatch(/\b\d{4} \d{4}\b|PRIVATE KEY/);
  });

  it('refuses to open plain HTTP to the network, and half a certificate', async () => {
    const open = await peelside(['serve', '--host', '0.0.0.0', '--port', '0', '--data', server.data]);
    expect([open.code, open.err]).toEqual([1, expect.stringContaining('add --lan')]);
    const half = await peelside(['serve', '--lan', '--cert', 'x.crt', '--data', server.data]);
    expect([half.code, half.err]).toEqual([1, expect.stringContaining('both --cert and --key')]);
  });

  it('reaches no file by the name of a rehearsal', async () => {
    for (const file of ['../../../../etc/passwd', '/etc/passwd', 'good-evening/../../package', '..\\package'])
      expect(
        (await call(server.url, 'POST', '/api/rehearsal', { do: 'start', file, instead: true })).status,
      ).toBe(404);
    const outside = [
      '/..%2f..%2fpackage.json',
      '/%2e%2e/%2e%2e/package.json',
      '/....//package.json',
      '/main.js%00.html',
    ];
    for (const path of outside)
      expect((await call(server.url, 'GET', path)).status).toBeGreaterThanOrEqual(400);
  });
});

describe('an installed page', () => {
  it('says that the server is out of reach, shows no number, and comes back by itself', async () => {
    const own = await startServer();
    await call(own.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 263 }] });
    const page = await (await browser.newContext({ locale: LOCALE, viewport: TABLET })).newPage();
    await page.goto(own.url);
    await page.getByText('263').first().waitFor();
    await page.evaluate(async () => {
      await navigator.serviceWorker.ready;
    });
    const manifest = await page.evaluate(async () => {
      const link = document.querySelector<HTMLLinkElement>('link[rel=manifest]');
      return (await fetch(link?.href ?? '')).json() as Promise<{ icons: { src: string; sizes: string }[] }>; // ours
    });
    for (const { src, sizes } of manifest.icons.filter((icon) => icon.sizes !== 'any')) {
      const width = await page.evaluate(
        async (url) => (await createImageBitmap(await (await fetch(url)).blob())).width,
        src,
      );
      expect(`${width}x${width}`).toBe(sizes);
    }
    own.process.kill('SIGKILL');
    await once(own.process, 'exit');
    // A tap that this browser holds is not lost by a reload, and is named there too.
    await page.evaluate(() => {
      const tap = { id: 'tap-0a1b2c3d', at: Date.now(), label: 'Vents half open', event: 'vent' };
      localStorage.setItem('peelside.unsent', JSON.stringify([tap]));
    });
    await page.reload();
    await page.getByRole('heading', { name: 'Server out of reach' }).waitFor();
    await page.getByText('1 tap waits for the server: Vents half open.').waitFor();
    expect(await page.locator('body').innerText()).not.toMatch(/\d{2,}/);
    const cached = await page.evaluate(async () => {
      const urls = [];
      for (const name of await caches.keys())
        for (const request of await (await caches.open(name)).keys())
          urls.push(new URL(request.url).pathname);
      return urls.sort();
    });
    expect(cached).toEqual(['/icon.svg', '/offline.html', '/offline.js', '/outside.css']);
    const again = await startServer(['--port', new URL(own.url).port], own.data);
    await call(again.url, 'POST', '/api/readings', { readings: [{ channel: 'stone', celsius: 271 }] });
    await page.getByText('271').first().waitFor();
  });
});
