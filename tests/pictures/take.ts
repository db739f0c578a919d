/**
 * Takes pictures of the demo's board at three widths and of a printed part, from the built program, for people to look at.
 * `npm run pictures [FOLDER]`. The README's picture is the widest of them, kept as tests/pictures/board-1440.png.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from '@playwright/test';
import { OwnServer } from '../e2e/server';

const folder = process.argv[2] ?? 'test-results/pictures';
mkdirSync(folder, { recursive: true });
const server = new OwnServer();
await server.start();
const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});

try {
  for (const width of [390, 820, 1440]) {
    const context = await browser.newContext({ viewport: { width, height: 1000 }, deviceScaleFactor: 1 });
    const page = await context.newPage();
    await page.goto(server.origin);
    await page.getByRole('button', { name: /Look around the demo band/ }).click();
    await page
      .getByRole('button', { name: /^I am / })
      .first()
      .click();
    await page.getByRole('region', { name: 'Songs' }).getByRole('listitem').last().getByRole('link').click();
    await page.waitForURL(/\/song\//);
    await page.locator('[data-state="kept"]').waitFor();
    await page.evaluate(() => document.fonts.ready);
    await page.locator('button[data-space][aria-label^="After"][aria-label*="unclaimed"]').first().click();
    await page.getByRole('list', { name: /Ideas for/ }).waitFor();
    await page
      .locator('section[data-pass]')
      .nth(1)
      .evaluate((pass) => pass.scrollIntoView());
    await page.screenshot({ path: join(folder, `board-${width}.png`), fullPage: false });
    if (width === 1440) {
      await page.keyboard.press('Escape');
      await page.getByRole('link', { name: /Your part/ }).click();
      await page.waitForURL(/\/part\//);
      await page.locator('[data-state="kept"]').waitFor();
      writeFileSync(join(folder, 'part.pdf'), await page.pdf({ preferCSSPageSize: true }));
    }
    await context.close();
  }
} finally {
  await browser.close();
  await server.end();
}
