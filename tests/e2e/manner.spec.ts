import { expect, type Page, test } from '@playwright/test';
import { accessibleInBoth } from './reading-aloud';

/** WCAG 2.2, success criterion 2.5.8 asks 24 px; ours is 44 px for all that stands by itself. */
const TOUCH = 44;

async function expectTouchable(page: Page): Promise<void> {
  const small = await page.locator('main button, main a, main summary, main input').evaluateAll(
    (elements, least) =>
      elements
        .filter(
          (element) =>
            element.checkVisibility() && !element.closest('label, .sr-only') && !element.matches('.sr-only'),
        )
        .map((element) => ({
          element: element.outerHTML.slice(0, 120),
          height: element.getBoundingClientRect().height,
        }))
        .filter(({ height }) => height < least - 0.5),
    TOUCH,
  );
  expect(small).toEqual([]);
}

async function expectNoSideways(page: Page): Promise<void> {
  const beyond = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  expect(beyond).toBeLessThanOrEqual(0);
}

async function check(page: Page): Promise<void> {
  await accessibleInBoth(page);
  await expectTouchable(page);
  await expectNoSideways(page);
}

for (const width of [390, 820, 1440]) {
  test(`pages can be read, heard and touched at ${width} px, light and dark`, async ({ page }) => {
    await page.setViewportSize({ width, height: 900 });
    await page.goto('/');
    await check(page);
    await page.getByRole('button', { name: /Look around the demo band/ }).click();
    await expect(page.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
    await page.getByRole('button', { name: /add yourself/ }).click();
    await page.getByText(/How you play/).click();
    await check(page);
    await page.keyboard.press('Escape');
    await page
      .getByRole('button', { name: /^I am / })
      .first()
      .click();
    await expect(page.getByRole('heading', { name: 'Songs' })).toBeVisible();
    await check(page);
    await page.getByRole('link', { name: /Bring in a song/ }).click();
    await page.getByRole('button', { name: /short example/ }).click();
    await page.getByRole('button', { name: /Read it/ }).click();
    await expect(page.getByRole('button', { name: /Bring it in/ })).toBeVisible();
    await check(page);
    await page.getByLabel(/Paste the tune/).fill('not a song');
    await page.getByRole('button', { name: /Read it/ }).click();
    await expect(page.getByText(/nothing was brought in/)).toBeVisible();
    await check(page);
    await page.goto('/enter');
    await expect(page.getByText(/not whole/)).toBeVisible();
    await check(page);
  });
}

test('on the way from page to page none is without its title', async ({ page }) => {
  await page.goto('/');
  await page.evaluate(() => {
    const seen: string[] = [];
    Reflect.set(window, 'titlesSeen', seen);
    new MutationObserver(() => {
      if (seen.at(-1) !== document.title) seen.push(document.title);
    }).observe(document, { subtree: true, childList: true, characterData: true });
  });
  await page.getByRole('button', { name: /Look around the demo band/ }).click();
  await page
    .getByRole('button', { name: /^I am / })
    .first()
    .click();
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await expect(page.getByRole('heading', { name: 'Bring in a song', level: 1 })).toBeVisible();
  await page.goBack();
  await page.getByRole('link', { name: 'North Side Snow' }).first().click();
  await expect(page.getByRole('heading', { name: 'North Side Snow', level: 1 })).toBeVisible();
  expect(await page.evaluate(() => Reflect.get(window, 'titlesSeen'))).toEqual([
    'Breathmark',
    'Pantry Door Five · Breathmark',
    'Bring in a song · Breathmark',
    'Pantry Door Five · Breathmark',
    'North Side Snow · Breathmark',
  ]);
});

test('single letters can be turned off, and stay off', async ({ page }) => {
  const entered: string[] = [];
  page.on('request', (request) => {
    if (request.url().endsWith('/api/demo/enter')) entered.push(request.method());
  });
  await page.goto('/');
  await page.getByRole('button', { name: /Turn single-letter keys off/ }).click();
  await page.reload();
  await expect(page.getByRole('button', { name: /Turn single-letter keys on/ })).toBeVisible();
  await page.keyboard.press('l');
  await page.getByRole('button', { name: /Turn single-letter keys on/ }).click();
  await expect(page.getByRole('button', { name: /Turn single-letter keys off/ })).toBeVisible();
  expect(entered).toEqual([]);
  await expect(async () => {
    await page.keyboard.press('l');
    await expect(page).toHaveURL(/\/band\//, { timeout: 2000 });
  }).toPass();
});
