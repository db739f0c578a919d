import { type BrowserContext, expect, type Page, test } from '@playwright/test';
import { detail, ideas, intoDemo, kept, keptAgain, spaces, twoOnABoard } from './band-at-work';
import { OwnServer } from './server';

const server = new OwnServer();
test.use({ baseURL: server.origin });
test.beforeEach(() => server.start());
test.afterEach(() => server.stop('SIGKILL'));
test.afterAll(() => server.end());

const offline = (page: Page) => page.locator('[data-state="offline"]');

/** Resolves when the device holds the page at that address and all that it needs. */
async function isOnDevice(page: Page, path = new URL(page.url()).pathname): Promise<void> {
  await expect
    .poll(() =>
      page.evaluate(async (wanted) => {
        const held = await caches.match(wanted, { ignoreVary: true });
        const shell = await (await caches.open('breathmark shell')).keys();
        const scripts = [...document.scripts].filter((one) => one.src.includes('/_next/static/'));
        return held !== undefined && scripts.every((one) => shell.some((key) => key.url === one.src));
      }, path),
    )
    .toBe(true);
}

/** Names of everything private that a device holds: pages by their path, documents by their database. */
const held = (page: Page) =>
  page.evaluate(async () => {
    const names = (await caches.keys()).filter((name) => name !== 'breathmark shell');
    const pages = await Promise.all(
      names.map(async (name) =>
        (await (await caches.open(name)).keys()).map((key) => new URL(key.url).pathname),
      ),
    );
    const databases = (await indexedDB.databases()).map(({ name }) => name ?? '');
    return [...pages.flat(), ...databases].filter((name) => name !== '/' && name !== 'breathmark');
  });

test('edits made without the server outlive a reload, and go to the others when it is back', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await isOnDevice(ann);
  await kept(ann);

  await server.stop('SIGKILL');
  await expect(offline(ann)).toBeVisible();
  await spaces(ann).nth(0).click();
  await ann.keyboard.press('o');
  await ann.keyboard.press('Escape');
  await expect(spaces(ann).nth(0)).toHaveAccessibleName(/left open/);
  await expect(offline(ann)).toHaveText(/^Not connected: one edit on this device only, since .*\d/);

  // A cold start: the page, its scripts and the song come from the device.
  await ann.reload();
  await expect(spaces(ann).nth(0)).toHaveAccessibleName(/left open/);
  await expect(offline(ann)).toHaveText(/^Not connected: one edit on this device only/);

  // It can go on from there, with ideas too, which nobody had asked for before.
  await spaces(ann).nth(1).click();
  await expect.poll(() => ideas(ann).count()).toBeGreaterThanOrEqual(1);
  await ann.keyboard.press('1');
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(/has a fill/);
  await expect(offline(ann)).toHaveText(/2 edits on this device only/);
  await ann.close();
  const later = await page.context().newPage();
  await later.goto(ben.url());
  await expect(spaces(later).nth(1)).toHaveAccessibleName(/has a fill/);
  await expect(offline(later)).toHaveText(/2 edits on this device only/);

  await server.start();
  await keptAgain(later);
  await expect(later.locator('[data-state="kept"]')).toHaveText('kept');
  await keptAgain(ben);
  await expect(spaces(ben).nth(0)).toHaveAccessibleName(/left open/);
  await expect(spaces(ben).nth(1)).toHaveAccessibleName(/has a fill/);
  await end();
});

test('two settle one space without seeing each other: both are kept, the later stands, either can be taken', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await kept(ben);
  await server.stop('SIGKILL');
  await expect(offline(ann)).toBeVisible();
  await expect(offline(ben)).toBeVisible();
  await spaces(ann).nth(2).click();
  await ann.keyboard.press('o');
  await expect(spaces(ann).nth(2)).toHaveAccessibleName(/left open/);
  await spaces(ben).nth(2).click();
  await ben.keyboard.press('a');
  await expect(spaces(ben).nth(2)).toHaveAccessibleName(/Ben, ad lib/);

  await server.start();
  await keptAgain(ann);
  await keptAgain(ben);
  // Ben's came later by the clock, so it stands for both.
  await expect(spaces(ann).nth(2)).toHaveAccessibleName(/Ben, ad lib/);
  await expect(spaces(ben).nth(2)).toHaveAccessibleName(/Ben, ad lib/);
  // Whoever came back second found what the first had done.
  await expect
    .poll(
      async () => (await ann.locator('[data-merged]').count()) + (await ben.locator('[data-merged]').count()),
    )
    .toBeGreaterThanOrEqual(1);
  for (const who of [ann, ben]) {
    await expect(detail(who)).toContainText(
      'Ann settled another answer here without having seen this one: left open.',
    );
    await expect(
      who.getByText(/Ben and Ann settled one space without having seen each other’s answer/),
    ).toBeVisible();
  }
  await ben.keyboard.press('t');
  for (const who of [ann, ben]) {
    await expect(spaces(who).nth(2)).toHaveAccessibleName(/left open/);
    await expect(detail(who)).not.toContainText('without having seen');
  }
  await end();
});

test('a device that leaves a band, or whose link is ended, holds nothing of it', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const song = new URL(ann.url()).pathname;
  const band = song.replace(/\/song\/.*/, '');
  await isOnDevice(ann);
  await isOnDevice(ben);
  expect(await held(ben)).toEqual(expect.arrayContaining([song]));

  await ann.goto(band);
  await kept(ann);
  await isOnDevice(ann);
  await ann.getByText(/links? (is|are) open/).click();
  await ann
    .getByRole('button', { name: /End the link for a player/ })
    .first()
    .click();
  await ann.getByRole('button', { name: /^End it/ }).click();
  await expect(ben.locator('[data-state="not allowed"]')).toBeVisible();
  await expect.poll(() => held(ben)).toEqual([]);
  await ben.reload();
  await expect(ben.getByText('This page is a band’s own')).toBeVisible();
  await showsNothingAlone(ben.context(), ben, song);

  await ann.getByRole('button', { name: /Leave the band on this device/ }).click();
  await ann.getByRole('button', { name: /^Leave it/ }).click();
  await ann.waitForURL(`${server.origin}/`);
  await expect.poll(() => held(ann)).toEqual([]);
  await end();
});

/** Without the server, nothing of the song can be read. */
async function showsNothingAlone(context: BrowserContext, page: Page, path: string): Promise<void> {
  await context.setOffline(true);
  await page.goto(path).catch(() => {});
  await expect(page.getByText('This page is not on this device')).toBeVisible();
  await context.setOffline(false);
}

test('a part of the page whose script does not come takes nothing else away, and is there once it comes', async ({
  page,
}) => {
  await intoDemo(page);
  await page.getByRole('link', { name: /Bees in the Boxcar/ }).click();
  await page.waitForURL(/\/song\//);
  await expect(spaces(page).nth(0)).toBeVisible();
  await kept(page);
  let isDown = true;
  let refused = 0;
  await page.context().route(/\/_next\/static\/chunks\/.*\.js/, (route) => {
    if (!isDown) return route.continue();
    refused += 1;
    return route.abort();
  });
  await page.getByRole('button', { name: /Who takes what/ }).click();
  await expect.poll(() => refused).toBeGreaterThan(1);
  await spaces(page).nth(0).click();
  await expect(detail(page)).toBeVisible();
  isDown = false;
  await expect(page.getByRole('region', { name: /Who takes what/ })).toBeVisible();
});
