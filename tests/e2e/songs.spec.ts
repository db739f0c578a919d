import { expect, type Page, test } from '@playwright/test';
import { kept, madeBand, spaces, TUNE, tabTo } from './band-at-work';
import { expectAccessible } from './reading-aloud';
import { seedSongs } from './seeded';

const songs = (page: Page) => page.getByRole('region', { name: 'Songs' });
const titles = (page: Page) => songs(page).locator('a[data-song]').allTextContents();

for (const [width, colorScheme] of [
  [390, 'dark'],
  [820, 'light'],
  [1440, 'light'],
] as const) {
  test(`songs are found, sorted, copied, put away and brought back at ${width} px, ${colorScheme}`, async ({
    browser,
    baseURL,
  }) => {
    const context = await browser.newContext({
      baseURL: baseURL ?? '',
      colorScheme,
      viewport: { width, height: 900 },
    });
    const page = await context.newPage();
    const { bandId } = await madeBand(page);
    await expect(songs(page).getByText('First steps')).toBeVisible();
    await expectAccessible(page);
    const named = ['Mill Pond', 'Crooked Gate', 'Long Lane', 'Über the Hill'];
    await seedSongs(
      page,
      bandId,
      named.map((title) => TUNE.replace(/^T:.*$/m, `T:${title}`)),
    );
    await expect(songs(page).getByRole('link', { name: 'Über the Hill' })).toBeVisible();

    await page.keyboard.press('m');
    await songs(page).getByRole('button', { name: 'Copy Mill Pond' }).click();
    await expect(songs(page).getByText('“Mill Pond, copy” was made.')).toBeVisible();
    await expect(songs(page).getByRole('link', { name: 'Mill Pond, copy' })).toBeVisible();
    await songs(page).getByRole('button', { name: 'Put away Long Lane' }).click();
    await expect(songs(page).getByText('Put away: one song')).toBeVisible();
    await expectAccessible(page);
    await page.keyboard.press('m');

    // As one types, accents aside; Enter opens the first.
    await page.keyboard.press('/');
    await page.keyboard.type('uber');
    await expect.poll(() => titles(page)).toEqual(['Über the Hill']);
    await page.keyboard.press('Escape');
    await songs(page).getByLabel('Sorted by').selectOption('title');
    expect((await titles(page)).slice(0, 4)).toEqual([
      'Crooked Gate',
      'Mill Pond',
      'Mill Pond, copy',
      'Über the Hill',
    ]);
    await songs(page).getByLabel('Sorted by').selectOption('key');
    await expect(
      songs(page)
        .getByText(/^[A-G][♭♯]?( |,|$)/)
        .first(),
    ).toBeVisible();
    await page.keyboard.press('/');
    await page.keyboard.type('lane');
    await page.keyboard.press('Escape');

    await page.locator('body').click({ position: { x: 2, y: 2 } });
    await page.keyboard.press('m');
    await songs(page).getByRole('button', { name: 'Bring back Long Lane' }).click();
    await expect(songs(page).getByText(/^Put away:/)).toHaveCount(0);
    await kept(page);

    // The copy is a song of its own, with all its bars.
    await songs(page).getByRole('link', { name: 'Mill Pond, copy' }).click();
    await page.waitForURL(/\/song\//);
    await kept(page);
    await expect(page.getByRole('heading', { level: 1 })).toHaveText('Mill Pond, copy');
    expect(await spaces(page).count()).toBeGreaterThan(2);
    await context.close();
  });
}

test('an empty band is offered the demo, and gets nothing of it', async ({ page }) => {
  await madeBand(page, 'Lock Keepers');
  const own = page.url();
  await songs(page)
    .getByRole('button', { name: /Look around the demo band/ })
    .click();
  await expect(page).not.toHaveURL(own);
  await expect(page.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
  await page.goto(own);
  await expect(songs(page).getByText('First steps')).toBeVisible();
  await expect(page.getByText('Bees in the Boxcar')).toHaveCount(0);
});

test('start, ending and order of a song are said with keys alone, and stand on the part', async ({
  page,
}) => {
  await madeBand(page);
  await page.keyboard.press('b');
  await page.getByLabel(/Paste the tune/).fill(TUNE);
  await page.keyboard.press('Control+Enter');
  await expect(page.getByRole('button', { name: /Bring it in/ })).toBeVisible();
  await page.keyboard.press('Control+Enter');
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);

  await page.keyboard.press('b');
  const start = page.getByRole('region', { name: 'Start' });
  await expect(start.getByLabel('Starts')).toBeVisible();
  await tabTo(page, () => start.getByLabel('Starts').evaluate((one) => one === document.activeElement));
  await page.keyboard.press('A');
  await page.keyboard.press('Tab');
  await page.keyboard.type('the last line');
  await page.keyboard.press('Tab');
  await page.keyboard.press('A');
  await page.keyboard.press('Tab');
  await page.keyboard.type('900');
  await page.keyboard.press('Enter');
  await expect(start.getByRole('alert')).toBeVisible();
  await page.keyboard.press('Control+A');
  await page.keyboard.type('96');
  await page.keyboard.press('Enter');
  await expect(start).toContainText('Starts: Ann, the last line. Count-in: Ann at ♩ = 96.');
  await expectAccessible(page);

  const end = page.getByRole('region', { name: 'End' });
  await start.getByRole('button', { name: 'Done' }).focus();
  await page.keyboard.press('e');
  await tabTo(page, () => end.getByLabel('Ends with').evaluate((one) => one === document.activeElement));
  await page.keyboard.type('dead');
  await page.keyboard.press('Tab');
  await page.keyboard.press('A');
  await expect(end).toContainText('Ends: dead stop, on Ann’s signal.');
  await expectAccessible(page);
  await kept(page);

  // The order: played once more, then cut again, each by its name.
  const passes = page.locator('section[data-pass]');
  const before = await passes.count();
  const order = passes.first().getByRole('button', { name: /roles and order/ });
  await order.focus();
  await page.keyboard.press('Enter');
  await passes.first().getByRole('button', { name: 'Play it once more after this' }).focus();
  await page.keyboard.press('Enter');
  await expect(passes).toHaveCount(before + 1);
  await passes.nth(1).getByRole('button', { name: 'Leave it out' }).focus();
  await page.keyboard.press('Enter');
  await expect(passes).toHaveCount(before);

  await page.getByRole('link', { name: 'Ann', exact: true }).click();
  await expect(page.locator('.part-head')).toContainText('Ends: dead stop, on Ann’s signal.');
  await page.reload();
  await expect(page.locator('.part-head')).toContainText('Starts: Ann, the last line.');
});
