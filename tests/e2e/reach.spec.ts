import { expect, type Page, test } from '@playwright/test';
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

/** What a page is held against; the name is said where it does not hold. */
interface Check {
  readonly name: string;
  readonly look: (page: Page) => Offences;
}

/** Goes through all pages and holds each against all checks, one after another. */
async function holdAll(page: Page, checks: readonly Check[]): Promise<void> {
  const seen: string[] = [];
  for await (const name of pagesOf(page)) {
    seen.push(name);
    for (const check of checks) expect.soft(await check.look(page), `${name}, ${check.name}`).toEqual([]);
  }
  expect(seen).toHaveLength(11);
}

const HEIGHT = 800;

/** A window of so many pixels and letters of so many, for one look; then it is as it was. */
async function lookAt(page: Page, width: number, letters: number): Promise<readonly string[]> {
  const before = page.viewportSize();
  const session = await page.context().newCDPSession(page);
  const set = async (size: { width: number; height: number } | null, standard: number) => {
    if (size) await page.setViewportSize(size);
    await session.send('Page.setFontSizes', { fontSizes: { standard } });
    await page.evaluate(
      () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
    );
  };
  await set({ width, height: HEIGHT }, letters);
  const found = await cutOff(page);
  await set(before, 16);
  await session.detach();
  return found;
}

/** Source: WCAG 2.2, 1.4.4 (200 %) and 1.4.10 (320 px wide, which is 1280 px at 400 %). */
const sized = (name: string, width: number, letters: number): Check => ({
  name: `cut off ${name}`,
  look: (page) => lookAt(page, width, letters),
});

// Source: WCAG 2.2, 1.4.12 (Text Spacing): these four at once, with nothing lost.
// Words in a line of the board stand where they are sung, as under printed notes, and keep their own spacing here.
const SPACED = `
  * { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important; }
  p { margin-bottom: 2em !important; }
  [data-line], [data-line] * { line-height: 1.2 !important; letter-spacing: 0 !important; word-spacing: 0 !important; }
`;
const spacedOut: Check = {
  name: 'with its text spaced out',
  async look(page) {
    const style = await page.addStyleTag({ content: SPACED });
    const found = await cutOff(page);
    await style.evaluate((element) => element.parentNode?.removeChild(element));
    return found;
  },
};
const pressed: Check = { name: 'what is pressed', look: tooSmall };

for (const { width, sizes } of [
  {
    width: 390,
    sizes: [
      sized('on a phone 390 px wide', 390, 16),
      sized('at 390 px with letters half as large again', 390, 24),
      sized('at 400 % of a window 1280 px wide', 320, 16),
    ],
  },
  {
    width: 1440,
    sizes: [
      sized('at 200 % of a window 1440 px wide', 720, 16),
      sized('at 720 px with letters twice as large', 720, 32),
    ],
  },
])
  test(`at ${width} px and with larger or wider text nothing is cut off or scrolls sideways, and all can be pressed`, async ({
    browser,
    baseURL,
  }) => {
    test.slow();
    const context = await browser.newContext({
      // What a reader lays over a page comes from outside of it.
      bypassCSP: true,
      ...(baseURL && { baseURL }),
      viewport: { width, height: HEIGHT },
    });
    await holdAll(await context.newPage(), [pressed, spacedOut, ...sizes]);
    await context.close();
  });

test('nothing moves for who asks for less motion', async ({ browser, baseURL }) => {
  test.slow();
  const context = await browser.newContext({ ...(baseURL && { baseURL }), reducedMotion: 'reduce' });
  await context.addInitScript(noteSmoothScrolls);
  const still: Check = {
    name: 'what moves',
    look: async (page) => [...(await moving(page)), ...(await smoothScrolls(page))],
  };
  await holdAll(await context.newPage(), [still]);
  await context.close();
});
