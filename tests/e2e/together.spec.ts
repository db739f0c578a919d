import { type Browser, expect, type Page, test } from '@playwright/test';
import { detail, kept, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

const together = (page: Page) => page.getByRole('region', { name: 'Together' });
const goingAlong = (page: Page, name: string) => together(page).getByText(`You go along with ${name}.`);

/** Words that ask for more than a screen: the board is taller than the window is. */
test.use({ viewport: { width: 390, height: 520 } });

/** A third player, at the same song, in a browser of their own. */
async function cat(browser: Browser, link: string, board: string) {
  const context = await browser.newContext({
    viewport: { width: 820, height: 520 },
    reducedMotion: 'reduce',
  });
  const page = await context.newPage();
  await page.goto(link);
  await page.getByRole('button', { name: /add yourself/ }).click();
  await page.getByLabel('Your name').fill('Cat');
  await page.getByLabel('fiddle', { exact: true }).check();
  await page.getByRole('button', { name: /That is me/ }).click();
  // That the player is kept comes before the server knows whose device this is.
  await expect(page.getByText('You are Cat')).toBeVisible();
  await kept(page);
  await page.goto(board);
  await kept(page);
  return { page, end: () => context.close() };
}

/** The first line whose words are in sight, by where it stands on the screen. */
const topLine = (page: Page) =>
  page.evaluate(
    () =>
      [...document.querySelectorAll('[data-line]')]
        .find((line) => line.getBoundingClientRect().bottom > 80)
        ?.getAttribute('data-line') ?? null,
  );
const lineKeys = (page: Page) =>
  page
    .locator('[data-line]')
    .evaluateAll((lines) => lines.map((line) => line.getAttribute('data-line') ?? ''));
const scrollTo = (page: Page, key: string) =>
  page
    .locator(`[data-line="${key}"]`)
    .evaluate((line) => line.scrollIntoView({ block: 'start', behavior: 'instant' }));
const scrolled = (page: Page) => page.evaluate(() => window.scrollY);

test('a board goes along with a bandmate, by a key, until its owner moves or presses Escape', async ({
  page,
  browser,
}) => {
  const { ann, ben, listenerLink, end } = await twoOnABoard(page, browser);
  await ben.setViewportSize({ width: 390, height: 520 });
  const lines = await lineKeys(ann);
  expect(lines.length).toBeGreaterThanOrEqual(3);
  await expect(together(ann).getByRole('button', { name: 'Go along with Ben' })).toBeVisible();
  await expectAccessible(ann);

  await ben.keyboard.press('y');
  await expect(goingAlong(ben, 'Ann')).toBeVisible();
  await expect(together(ben).getByRole('status')).toContainText('You go along with Ann: ');
  await expectAccessible(ben);
  // Ann looks further down, and Ben's board with her.
  for (const key of [lines[2] ?? '', lines[1] ?? '']) {
    await scrollTo(ann, key);
    await expect.poll(() => topLine(ann)).toBe(key);
    await expect.poll(() => topLine(ben)).toBe(key);
  }
  // She opens a space: it opens for him too, in sight, and closes with hers. What it is, he hears.
  await spaces(ann).nth(2).focus();
  await ann.keyboard.press('Enter');
  await expect(detail(ben)).toBeVisible();
  await expect(spaces(ben).nth(2)).toHaveAttribute('data-open', 'true');
  await expect(spaces(ben).nth(2)).toBeInViewport();
  await expect(together(ben).getByRole('status')).toContainText(/You go along with Ann: .*bar \d/);
  await ann.keyboard.press('Escape');
  await expect(detail(ben)).toHaveCount(0);
  await expect(goingAlong(ben, 'Ann')).toBeVisible();

  // Escape ends it, and does nothing else.
  await spaces(ann).nth(2).click();
  await expect(detail(ben)).toBeVisible();
  await ben.keyboard.press('Escape');
  await expect(goingAlong(ben, 'Ann')).toHaveCount(0);
  await expect(together(ben).getByRole('status')).toContainText('You go your own way again.');
  await expect(detail(ben)).toBeVisible();
  await ben.keyboard.press('Escape');
  await expect(detail(ben)).toHaveCount(0);
  await ann.keyboard.press('Escape');

  // A listener goes along too, and is shown places; but shows none, and nobody goes along with them.
  const context = await browser.newContext({ viewport: { width: 390, height: 520 } });
  const fan = await context.newPage();
  await fan.goto(listenerLink);
  await expect(fan.getByText('You are here as a listener')).toBeVisible();
  await fan.goto(ann.url());
  await kept(fan);
  await expect(together(fan).getByRole('button', { name: /^Go along with/ })).toHaveCount(2);
  await fan.getByRole('button', { name: 'Go along with Ann' }).click();
  await expect(goingAlong(fan, 'Ann')).toBeVisible();
  await scrollTo(ann, lines[2] ?? '');
  await expect.poll(() => topLine(fan)).toBe(lines[2]);
  await ann.keyboard.press(';');
  await expect(together(fan)).toContainText(/Ann shows the band .*bar \d/);
  await expect(fan.getByRole('button', { name: /Show the band this place/ })).toHaveCount(0);
  await expect(together(ann).getByRole('button', { name: /^Go along with/ })).toHaveCount(1);
  await context.close();
  await end();
});

test('whoever moves by themselves goes their own way, and is not moved any more', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await ben.setViewportSize({ width: 390, height: 520 });
  const lines = await lineKeys(ann);
  // Words that one opens, the wheel, a space that one opens, an arrow.
  const own: readonly (() => Promise<void>)[] = [
    () => ben.keyboard.press('w'),
    () => ben.mouse.wheel(0, 40),
    () => spaces(ben).nth(1).click(),
    () => ben.keyboard.press('ArrowDown'),
  ];
  for (const move of own) {
    await together(ben).getByRole('button', { name: 'Go along with Ann' }).click();
    await expect(goingAlong(ben, 'Ann')).toBeVisible();
    await move();
    await expect(goingAlong(ben, 'Ann')).toHaveCount(0);
  }
  const stays = await scrolled(ben);
  // Ann shows a place when she has moved on: when Ben has heard of it, he has heard of her moves too.
  for (const key of [lines[3] ?? '', lines[1] ?? '']) {
    await scrollTo(ann, key);
    await expect.poll(() => topLine(ann)).toBe(key);
  }
  await ann.keyboard.press(';');
  await expect(together(ben).getByRole('button', { name: 'Go there' })).toBeVisible();
  expect(await scrolled(ben)).toBe(stays);
  await end();
});

test('three: one shows the band a place; the others are told and stay where they are until they go', async ({
  page,
  browser,
}) => {
  const { ann, ben, link, end } = await twoOnABoard(page, browser);
  await ben.setViewportSize({ width: 390, height: 520 });
  const third = await cat(browser, link, ann.url());
  // The key goes from one to the next.
  await expect(together(ann).getByRole('button', { name: /^Go along with/ })).toHaveCount(2);
  await ann.keyboard.press('y');
  await expect(goingAlong(ann, 'Ben')).toBeVisible();
  await ann.keyboard.press('y');
  await expect(goingAlong(ann, 'Cat')).toBeVisible();
  await ann.keyboard.press('Escape');
  await expect(goingAlong(ann, 'Cat')).toHaveCount(0);

  await expect(together(third.page).getByRole('button', { name: /Show the band this place/ })).toBeVisible();
  const before = [await scrolled(ben), await scrolled(third.page)];
  const place = spaces(ann).last();
  await place.click();
  await expect(detail(ann)).toBeVisible();
  await ann.keyboard.press(';');
  await expect(together(ann)).toContainText('The others are shown');
  for (const who of [ben, third.page]) {
    await expect(together(who).getByRole('status')).toContainText(/Ann shows the band .*bar \d/);
    await expect(together(who).getByRole('button', { name: 'Go there' })).toBeVisible();
    await expect(detail(who)).toHaveCount(0);
  }
  expect([await scrolled(ben), await scrolled(third.page)]).toEqual(before);

  // One key goes there; the other stays, and is told again when it is shown again.
  await third.page.keyboard.press('0');
  await expect(spaces(third.page).last()).toHaveAttribute('data-open', 'true');
  await expect(spaces(third.page).last()).toBeInViewport();
  await expect(together(third.page).getByRole('button', { name: 'Go there' })).toHaveCount(0);
  await ben.keyboard.press('-');
  await expect(together(ben).getByText(/shows the band/)).toHaveCount(0);
  expect(await scrolled(ben)).toBe(before[0]);
  await ann.keyboard.press(';');
  await expect(together(ben).getByRole('button', { name: 'Go there' })).toBeVisible();
  // At the end of the page, where the strip lies over nothing.
  await ben.evaluate(() => window.scrollTo(0, document.documentElement.scrollHeight));
  await expectAccessible(ben);

  // Ben goes along with Cat, who goes along with Ann: where Ann is, all are.
  await third.page.getByRole('button', { name: 'Go along with Ann' }).click();
  await ben.getByRole('button', { name: 'Go along with Cat' }).click();
  await ann.keyboard.press('Escape');
  await expect(detail(third.page)).toHaveCount(0);
  await expect(detail(ben)).toHaveCount(0);
  await spaces(ann).nth(1).click();
  await expect(spaces(third.page).nth(1)).toHaveAttribute('data-open', 'true');
  await expect(spaces(ben).nth(1)).toHaveAttribute('data-open', 'true');

  // Cat leaves: Ben is told so, and goes on with her when she is back.
  const board = third.page.url();
  await third.page.goto('about:blank');
  await expect(together(ben)).toContainText('You go along with Cat, who is not here just now.');
  await third.page.goto(board);
  await expect(goingAlong(ben, 'Cat')).toBeVisible();
  await third.end();
  await end();
});
