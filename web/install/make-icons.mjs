// Draws the PNG icons from web/icon.svg, by the Chromium of the tests: node web/install/make-icons.mjs
import { readFileSync } from 'node:fs';
import { chromium } from 'playwright-core';

const here = new URL('.', import.meta.url);
const drawing = readFileSync(new URL('../icon.svg', here), 'utf8');
const GROUND = '#1b1714';
/** A mask may cut all but the middle 80 % (W3C Web Application Manifest, icon masks). */
const ICONS = [
  { name: 'icon-192.png', size: 192, part: 1 },
  { name: 'icon-512.png', size: 512, part: 1 },
  { name: 'icon-mask-512.png', size: 512, part: 0.74, ground: GROUND },
];

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});
for (const { name, size, part, ground = 'transparent' } of ICONS) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  await page.setContent(
    `<style>body{margin:0;height:100vh;display:grid;place-items:center;background:${ground}}svg{width:${part * 100}%}</style>${drawing}`,
  );
  await page.screenshot({ path: new URL(name, here).pathname, omitBackground: true });
  await page.close();
}
await browser.close();
