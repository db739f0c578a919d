import { type BrowserContext, expect, type Page, test } from '@playwright/test';
import { kept, spaces } from './band-at-work';
import { cutOff, moving, noteSmoothScrolls, type Offences, smoothScrolls, tooSmall } from './reach-checks';

/** Each page of the demo band, and what opens on the board, by its name. */
async function* pagesOf(page: Page): AsyncGenerator<string> {
  await page.goto('/');
  await expect(page.getByRole('button', { name: /Look around the demo band/ })).toBeVisible();
  yield 'home';
  await page.getByRole('button', { name: /Look around the demo band/ }).click();
  await page
    .getByRole('button', { name: /^I am Tobe/ })
    .first()
    .click();
  await kept(page);
  const band = new URL(page.url()).pathname;
  yield 'band';
  await page.goto(`${band}/bring-in`);
  await expect(page.getByRole('textbox').first()).toBeVisible();
  yield 'bring in';
  await page.goto(band);
  await page.getByRole('link', { name: /Bees in the Boxcar/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  const song = new URL(page.url()).pathname;
  yield 'board';
  await spaces(page).nth(2).click();
  await expect(page.locator('.detail')).toBeVisible();
  yield 'board with a space open';
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Who takes what' }).click();
  await page.getByRole('button', { name: 'Work it out' }).click();
  await expect(page.locator('[data-plan]').first()).toBeVisible({ timeout: 60_000 });
  yield 'plan';
  const links = await page
    .locator('a[href*="/part/"], a[href*="/stand/"]')
    .evaluateAll((all) => all.map((one) => one.getAttribute('href') ?? ''));
  const player = /\/(?:part|stand)\/([^/?]+)/.exec(links[0] ?? '')?.[1] ?? '';
  await page.goto(`${song}/tap`);
  await expect(page.getByRole('heading').first()).toBeVisible();
  yield 'tap';
  await page.goto(`${song}/part/${player}`);
  await kept(page);
  yield 'part';
  await page.goto(`${song}/stand/${player}`);
  await expect(page.locator('.stand-foot [role="status"]')).toHaveText(/^Page 1 of \d/);
  yield 'stand';
  await page.goto(band);
  const set = page.locator('a[href*="/set/"]').first();
  const setPath = (await set.getAttribute('href')) ?? '';
  await set.click();
  await page.waitForURL(/\/set\//);
  await kept(page);
  yield 'set';
  await page.goto(setPath.replace('/set/', '/book/'));
  await expect(page.getByRole('heading').first()).toBeVisible();
  yield 'book';
}

/** Goes through all pages and holds each against a check. */
async function holdAll(
  context: BrowserContext,
  check: (page: Page) => Offences,
  before: (page: Page) => Promise<unknown> = async () => {},
): Promise<void> {
  const page = await context.newPage();
  await before(page);
  const seen: string[] = [];
  for await (const name of pagesOf(page)) {
    seen.push(name);
    expect.soft(await check(page), name).toEqual([]);
  }
  expect(seen).toHaveLength(11);
}

// Source: WCAG 2.2, 1.4.4 (200 %) and 1.4.10 (320 px wide, which is 1280 px at 400 %).
for (const { name, width, letters } of [
  { name: 'at 200 % of a window 1440 px wide', width: 720, letters: 16 },
  { name: 'at 720 px with letters twice as large', width: 720, letters: 32 },
  { name: 'on a phone 390 px wide', width: 390, letters: 16 },
  { name: 'at 390 px with letters half as large again', width: 390, letters: 24 },
  { name: 'at 400 % of a window 1280 px wide', width: 320, letters: 16 },
])
  test(`nothing is cut off, and nothing scrolls sideways ${name}`, async ({ browser, baseURL }) => {
    test.slow();
    const context = await browser.newContext({
      ...(baseURL && { baseURL }),
      viewport: { width, height: 800 },
    });
    await holdAll(context, cutOff, async (page) => {
      const session = await context.newCDPSession(page);
      await session.send('Page.setFontSizes', { fontSizes: { standard: letters } });
    });
    await context.close();
  });

// Source: WCAG 2.2, 1.4.12 (Text Spacing): these four at once, with nothing lost.
// Words in a line of the board stand where they are sung, as under printed notes, and keep their own spacing here.
const SPACED = `
  * { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }
  p { margin-bottom: 2em !important; }
  [data-line], [data-line] * { line-height: 1.2 !important; letter-spacing: 0 !important; word-spacing: 0 !important; }
`;
for (const width of [390, 1440])
  test(`text can be spaced out at ${width} px`, async ({ browser, baseURL }) => {
    test.slow();
    const context = await browser.newContext({
      // What a reader lays over a page comes from outside of it.
      bypassCSP: true,
      ...(baseURL && { baseURL }),
      viewport: { width, height: 800 },
    });
    await holdAll(context, async (page) => {
      await page.addStyleTag({ content: SPACED });
      return cutOff(page);
    });
    await context.close();
  });

test('nothing moves for who asks for less motion', async ({ browser, baseURL }) => {
  test.slow();
  const context = await browser.newContext({ ...(baseURL && { baseURL }), reducedMotion: 'reduce' });
  await context.addInitScript(noteSmoothScrolls);
  await holdAll(context, async (page) => [...(await moving(page)), ...(await smoothScrolls(page))]);
  await context.close();
});

for (const width of [390, 1440])
  test(`what is pressed is large enough, or has room round it, at ${width} px`, async ({
    browser,
    baseURL,
  }) => {
    test.slow();
    const context = await browser.newContext({
      ...(baseURL && { baseURL }),
      viewport: { width, height: 900 },
    });
    await holdAll(context, tooSmall);
    await context.close();
  });
