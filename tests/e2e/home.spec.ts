import { expect, type Page, test } from '@playwright/test';

/** Every problem that a page shows says what happened, where, and what to do. */
async function expectProblem(page: Page, what: RegExp): Promise<void> {
  const notice = page.getByRole('alert').filter({ hasText: what });
  await expect(notice).toBeVisible();
  expect((await notice.locator('p').count()) >= 2).toBe(true);
}

const QUICK = { timeout: 2000 };

/** Presses a key until it did what it should: before the page's scripts have run, keys do nothing. */
async function pressUntil(page: Page, key: string, seen: () => Promise<void>): Promise<void> {
  await expect(async () => {
    await page.keyboard.press(key);
    await seen();
  }).toPass();
}

test('home says what it is before its scripts run', async ({ browser, baseURL }) => {
  const context = await browser.newContext({ javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${baseURL}/`);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Breathmark');
  await expect(page.getByText('where the singer takes a breath')).toBeVisible();
  await expect(page.getByRole('img', { name: /drawn along their beats/ })).toBeVisible();
  await context.close();
});

test('the demo band is one key away, and its songs are there', async ({ page }) => {
  await page.goto('/');
  await expect(page.getByRole('button', { name: /Look around the demo band/ })).toBeEnabled();
  await pressUntil(page, 'l', () => expect(page).toHaveURL(/\/band\/[^/]+$/, QUICK));
  await expect(page.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
  await page
    .getByRole('button', { name: /^I am / })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Songs' })).toBeVisible();
  const songs = page.getByRole('region', { name: 'Songs' }).getByRole('listitem');
  expect(await songs.count()).toBeGreaterThanOrEqual(2);
  await page.goto('/');
  await expect(page.getByRole('heading', { name: 'Your bands' })).toBeVisible();
});

test('a band is made, and its link brings a bandmate in from another browser', async ({
  page,
  browser,
  baseURL,
}) => {
  await page.goto('/');
  await page.getByRole('button', { name: /Make the band/ }).click();
  await expect(page.getByText(/Write the name of the band first/)).toBeVisible();
  await page.getByLabel('Name of the band').fill('Mill Race Ramblers');
  await page.getByLabel('Your name').fill('Edith');
  await page.keyboard.press('Enter');
  const link = page.getByRole('textbox', { name: 'For players' });
  await expect(link).toHaveValue(/\/enter#.{16,}/);
  const address = await link.inputValue();
  await page.getByRole('link', { name: /Go to the band/ }).click();
  await page.waitForURL(/\/band\/[^/]+$/);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Mill Race Ramblers');
  await expect(page.getByText('You are Edith')).toBeVisible();

  const other = await browser.newContext();
  const theirs = await other.newPage();
  const posted: string[] = [];
  theirs.on('request', (request) => {
    if (request.url().endsWith('/api/enter')) posted.push(request.method());
  });
  await theirs.goto(address);
  await theirs.waitForURL(/\/band\/[^/#]+$/);
  expect(posted).toEqual(['POST']);
  expect(theirs.url()).not.toContain('#');
  await theirs.goBack().catch(() => null);
  expect(theirs.url()).not.toContain(address.slice(address.indexOf('#') + 1));

  const stranger = await browser.newContext();
  const closed = await stranger.newPage();
  await closed.goto(page.url());
  await expect(closed.getByRole('heading', { level: 1 })).toHaveText('This page is a band’s own');
  await expect(closed.getByText('Edith')).toHaveCount(0);
  await stranger.close();
  await other.close();
  expect(baseURL).toBeDefined();
});

test('a listener reads and cannot change', async ({ page, browser }) => {
  await page.goto('/');
  await page.getByLabel('Name of the band').fill('Listening Post');
  await page.getByLabel('Your name').fill('Ida');
  await page.keyboard.press('Enter');
  const address = await page.getByRole('textbox', { name: 'For listeners' }).inputValue();
  const other = await browser.newContext();
  const theirs = await other.newPage();
  await theirs.goto(address);
  await theirs.waitForURL(/\/band\/[^/#]+$/);
  await expect(theirs.getByText('You are here as a listener')).toBeVisible();
  await expect(theirs.getByText('Ida', { exact: true }).first()).toBeVisible();
  await expect(theirs.locator('[data-state="kept"]')).toBeVisible();
  await expect(theirs.getByRole('button', { name: /change|Add a player|New link|rename/i })).toHaveCount(0);
  await expect(theirs.getByRole('link', { name: /Bring in/ })).toHaveCount(0);
  await theirs.goto(`${theirs.url()}/bring-in`);
  await expectProblem(theirs, /Only players may do this/);
  await other.close();
});

test('a wrong or broken link says what, where and what to do', async ({ page }) => {
  await page.goto('/enter#thisLinkWasNeverGivenToAnybody');
  await expectProblem(page, /opens no band/);
  expect(page.url()).not.toContain('#');
  await page.goto('/enter');
  await expectProblem(page, /not whole/);
  await page.goto('/enter#short');
  await expectProblem(page, /opens no band/);
  await page.getByRole('link', { name: /Go home/ }).click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Breathmark');
});

test('an address with nothing at it leads home', async ({ page }) => {
  const response = await page.goto('/no-such-page');
  expect(response?.status()).toBe(404);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('There is nothing at this address');
  await pressUntil(page, 'h', () =>
    expect(page.getByRole('heading', { level: 1 })).toHaveText('Breathmark', QUICK),
  );
});
