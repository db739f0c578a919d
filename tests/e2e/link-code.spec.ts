import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Locator, type Page, test } from '@playwright/test';
import { expectAccessible } from './reading-aloud';

const READER = readFileSync(createRequire(import.meta.url).resolve('jsqr'), 'utf8');

/**
 * Reference library: jsQR, a reader of QR codes that has nothing to do with what draws ours. It is given what stands on
 * the screen, as a camera would be.
 */
async function readFromScreen(page: Page, code: Locator): Promise<string | null> {
  const seen = (await code.screenshot()).toString('base64');
  await page.evaluate(READER);
  return page.evaluate(async (picture) => {
    const image = new Image();
    image.src = `data:image/png;base64,${picture}`;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = image.naturalWidth;
    canvas.height = image.naturalHeight;
    const pen = canvas.getContext('2d');
    if (pen === null) throw new Error('nothing to draw on');
    pen.drawImage(image, 0, 0);
    const { data, width, height } = pen.getImageData(0, 0, canvas.width, canvas.height);
    const read: (
      data: Uint8ClampedArray,
      width: number,
      height: number,
      options: object,
    ) => { data: string } | null = Reflect.get(window, 'jsQR');
    return read(data, width, height, { inversionAttempts: 'dontInvert' })?.data ?? null;
  }, seen);
}

const shown = (page: Page) => page.getByRole('img', { name: /as a QR code/ });

test('a link is shown as a code that a camera reads, on a phone and in the dark too, and is told to nobody', async ({
  page,
  browser,
}) => {
  await page.goto('/');
  await page.getByLabel('Name of the band').fill('Weir Street');
  await page.getByLabel('Your name').fill('Ann');
  await page.getByRole('button', { name: /Make the band/ }).click();
  await page.getByRole('link', { name: /Go to the band/ }).click();
  await page.getByRole('button', { name: /New link for a player/ }).click();
  const link = await page.getByRole('textbox', { name: 'For players' }).inputValue();
  const secret = link.split('#')[1] ?? '';
  expect(secret.length).toBeGreaterThanOrEqual(16);

  const asked: string[] = [];
  page.on('request', (request) => asked.push(`${request.url()} ${request.postData() ?? ''}`));
  await page.getByRole('button', { name: 'Show the link for players as a code' }).click();
  await expect(shown(page)).toBeVisible();
  await expect(shown(page)).toHaveAccessibleName(/The link for players .* field above it/);
  expect(await readFromScreen(page, shown(page))).toBe(link);
  await expectAccessible(page);

  await page.emulateMedia({ colorScheme: 'dark' });
  await page.setViewportSize({ width: 390, height: 844 });
  await shown(page).scrollIntoViewIfNeeded();
  expect(await readFromScreen(page, shown(page))).toBe(link);
  await expectAccessible(page);
  expect(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth)).toBe(true);
  expect(asked.filter((request) => request.includes(secret))).toEqual([]);

  await page.keyboard.press('Escape');
  await expect(shown(page)).toHaveCount(0);
  await expect(page.getByRole('textbox', { name: 'For players' })).toHaveValue(link);

  // What the camera read lets a bandmate in.
  const other = await browser.newContext();
  const ben = await other.newPage();
  await ben.goto(link);
  await expect(ben.getByRole('heading', { name: /Who are you/ })).toBeVisible();
  await other.close();
});
