import { expect, type Page, test } from '@playwright/test';
import { kept } from './band-at-work';
import { accessibleInBoth } from './reading-aloud';
import { OwnServer } from './server';

/** The demo's fast song on the stand, as its banjo player has it. */
async function onTheStand(page: Page, origin = ''): Promise<void> {
  await page.goto(`${origin}/`);
  await page.getByRole('button', { name: /Look around the demo band/ }).click();
  await page
    .getByRole('button', { name: /^I am Tobe/ })
    .first()
    .click();
  await page.getByRole('link', { name: /Bees in the Boxcar/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  await page.getByRole('link', { name: /On the stand/ }).click();
  await page.waitForURL(/\/stand\//);
  await expect(place(page)).toHaveText(/^Page 1 of \d/);
  await kept(page);
}

const place = (page: Page) => page.locator('.stand-foot [role="status"]');
const at = async (page: Page): Promise<number> =>
  Number(/^Page (\d+)/.exec((await place(page).textContent()) ?? '')?.[1]);
const count = async (page: Page): Promise<number> =>
  Number(/of (\d+)/.exec((await place(page).textContent()) ?? '')?.[1]);

/** Bars, headings and paragraphs of which an edge of the view shows only a piece, or that stand over its sides. */
const cutPieces = (page: Page) =>
  page.evaluate(() => {
    const box = document.querySelector('.stand-clip')?.getBoundingClientRect();
    const view = document.querySelector('.stand-view')?.getBoundingClientRect();
    if (!box || !view) return ['no view'];
    return [
      ...document.querySelectorAll('.stand-sheet .segment, .stand-sheet .pass-name, .stand-sheet p.aside'),
    ]
      .map((piece) => ({ piece, rect: piece.getBoundingClientRect() }))
      .filter(({ rect }) => rect.bottom > box.top + 1 && rect.top < box.bottom - 1)
      .filter(
        ({ rect }) =>
          rect.top < box.top - 1 ||
          rect.bottom > Math.min(box.bottom, view.bottom) + 1 ||
          rect.right > view.right + 1,
      )
      .map(({ piece, rect }) => `${piece.className} ${piece.textContent} ${rect.top} ${rect.bottom}`);
  });

for (const [width, height] of [
  [390, 844],
  [820, 1180],
  [1440, 900],
] as const) {
  test(`on the stand no page cuts anything at ${width} px, and it is light on dark in both schemes`, async ({
    page,
  }) => {
    await page.setViewportSize({ width, height });
    await onTheStand(page);
    await accessibleInBoth(page);
    const pages = await count(page);
    expect(pages).toBeGreaterThan(1);
    for (let one = 1; one <= pages; one++) {
      await expect.poll(() => at(page)).toBe(one);
      expect(await cutPieces(page)).toEqual([]);
      await page.keyboard.press('PageDown');
    }
    // Light on near-black, whichever scheme the device has.
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme });
      const paper = await page
        .locator('.stand')
        .evaluate((stand) => getComputedStyle(stand).backgroundColor.match(/\d+/g)?.map(Number));
      expect(Math.max(...(paper ?? [255]))).toBeLessThan(40);
    }
    await page.keyboard.press('g');
    await accessibleInBoth(page);
  });
}

test('pages turn by the keys that pedals send, also with single letters off, and passes are jumped to', async ({
  page,
}) => {
  await page.setViewportSize({ width: 820, height: 1180 });
  await page.goto('/');
  await page.getByRole('button', { name: /Turn single-letter keys off/ }).click();
  await onTheStand(page);
  for (const [on, back] of [
    ['PageDown', 'PageUp'],
    ['ArrowRight', 'ArrowLeft'],
    ['ArrowDown', 'ArrowUp'],
    ['Space', 'Shift+Space'],
  ] as const) {
    await page.keyboard.press(on);
    await expect.poll(() => at(page)).toBe(2);
    await page.keyboard.press(back);
    await expect.poll(() => at(page)).toBe(1);
  }
  await page.keyboard.press('PageUp');
  await expect.poll(() => at(page)).toBe(1);
  await page.evaluate(() => localStorage.removeItem('breathmark.keys'));
  await page.reload();
  await expect(place(page)).toHaveText(/^Page 1 of/);

  // The break ran double: back to its start, by its number; then a verse is skipped, by the list.
  const names = await page.locator('.stand-passes button').allTextContents();
  expect(names[6]).toContain('Break, fiddle');
  await page.keyboard.press('7');
  await expect(place(page)).toHaveText(/: Break, fiddle/);
  await page.keyboard.press('g');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Enter');
  await expect(place(page)).toHaveText(/: Chorus 3/);
  await page.keyboard.press('Home');
  await expect.poll(() => at(page)).toBe(1);
});

test('a finger turns on the halves of the screen and jumps by the list', async ({ browser, baseURL }) => {
  const context = await browser.newContext({ hasTouch: true, viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  await onTheStand(page, baseURL);
  await page.touchscreen.tap(700, 600);
  await expect.poll(() => at(page)).toBe(2);
  await page.touchscreen.tap(120, 600);
  await expect.poll(() => at(page)).toBe(1);
  await page.getByRole('button', { name: /Go to a pass/ }).tap();
  await page.getByRole('button', { name: /^Chorus 2/ }).tap();
  await expect(place(page)).toHaveText(/: Chorus 2/);
  // After a finger on a button a pedal still turns the page.
  await page.getByRole('button', { name: /Page back/ }).tap();
  const before = await at(page);
  await page.keyboard.press('Space');
  await expect.poll(() => at(page)).toBe(before + 1);
  await context.close();
});

test('the screen is kept awake, and it is told where a device will not', async ({ browser, baseURL }) => {
  for (const may of [true, false]) {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.addInitScript((allowed) => {
      const request = async () => {
        if (!allowed) throw new DOMException('no', 'NotAllowedError');
        const lock = Object.assign(new EventTarget(), { released: false, release: async () => undefined });
        document.documentElement.setAttribute('data-asked', 'screen');
        return lock;
      };
      Object.defineProperty(navigator, 'wakeLock', { value: { request } });
    }, may);
    await onTheStand(page, baseURL);
    await expect(page.locator('.stand-wake')).toHaveText(
      may ? /stays awake/ : /will not keep its screen awake/,
    );
    await context.close();
  }
});

test('a song that was opened on the stand is there without the server', async ({ browser }) => {
  const server = new OwnServer();
  await server.start();
  const context = await browser.newContext({ baseURL: server.origin });
  const page = await context.newPage();
  await onTheStand(page, server.origin);
  await page.reload();
  await kept(page);
  await expect
    .poll(() =>
      page.evaluate(async () => {
        const held = await caches.match(location.pathname, { ignoreVary: true });
        const shell = await (await caches.open('breathmark shell')).keys();
        const scripts = [...document.scripts].filter((one) => one.src.includes('/_next/static/'));
        return held !== undefined && scripts.every((one) => shell.some((key) => key.url === one.src));
      }),
    )
    .toBe(true);
  await server.stop('SIGKILL');
  await page.reload();
  await expect(place(page)).toHaveText(/^Page 1 of/);
  await page.keyboard.press('PageDown');
  await expect.poll(() => at(page)).toBe(2);
  await context.close();
  await server.end();
});
