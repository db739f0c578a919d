import { readFileSync } from 'node:fs';
import { type Browser, expect, type Page } from '@playwright/test';
import { itemAt } from '../../lib/base';
import { seedBand } from './seeded';

/** A short tune of ours with spaces that were counted by hand (tests/tunes/README.md). */
export const TUNE = readFileSync(new URL('../tunes/known-spaces.abc', import.meta.url), 'utf8');

export const kept = (page: Page) => expect(page.locator('[data-state="kept"]')).toBeVisible();

/** A band made on the first page, whose own page then stands open; with the links as they are shown this once. */
export async function madeBand(
  page: Page,
  name = 'Weir Street',
  you = 'Ann',
): Promise<{ readonly player: string; readonly listener: string; readonly bandId: string }> {
  await page.goto('/');
  await page.getByLabel('Name of the band').fill(name);
  await page.getByLabel('Your name').fill(you);
  await page.getByRole('button', { name: /Make the band/ }).click();
  const player = await page.getByRole('textbox', { name: 'For players' }).inputValue();
  const listener = await page.getByRole('textbox', { name: 'For listeners' }).inputValue();
  await page.getByRole('link', { name: /Go to the band/ }).click();
  await kept(page);
  return { player, listener, bandId: new URL(page.url()).pathname.split('/')[2] ?? '' };
}

/** On a band's page: brings in a song as pasted text, and is on its board. */
export async function pasted(page: Page, text: string): Promise<void> {
  await page.keyboard.press('b');
  await page.getByLabel(/Paste the tune/).fill(text);
  await page.keyboard.press('Control+Enter');
  await page.getByRole('button', { name: /Bring it in/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
}

/** Several browsers at one address, as it is on the server. */
export async function allAt(address: string, ...pages: readonly Page[]): Promise<void> {
  await Promise.all(
    pages.map(async (page) => {
      await page.goto(address);
      await kept(page);
    }),
  );
}

/** The demo band's page, opened by the first of its players. */
export async function intoDemo(page: Page): Promise<void> {
  await page.goto('/');
  await page.getByRole('button', { name: /Look around the demo band/ }).click();
  await page
    .getByRole('button', { name: /^I am / })
    .first()
    .click();
  await expect(page.getByRole('heading', { name: 'Songs' })).toBeVisible();
}

/** Sees that the page's device keeps what it saw of the song, so that leaving it then leaves nothing unseen. */
export async function seenKept(page: Page): Promise<void> {
  const isKept = () =>
    page.evaluate(async () => {
      const songId = /\/song\/([^/]+)/.exec(location.pathname)?.[1];
      return (await caches.match(`/seen/${songId}`)) !== undefined;
    });
  await expect.poll(isKept).toBe(true);
}

/** The server is back: a page that has asked in vain for long asks again within fifteen seconds. */
export const keptAgain = (page: Page) =>
  expect(page.locator('[data-state="kept"]')).toBeVisible({ timeout: 25_000 });

/** Only keys: goes on with Tab until what is wanted has the focus. */
export async function tabTo(page: Page, isThere: () => Promise<boolean>): Promise<void> {
  const seen: string[] = [];
  for (let i = 0; i < 60; i++) {
    if (await isThere()) return;
    await page.keyboard.press('Tab');
    seen.push(await page.evaluate(() => document.activeElement?.textContent ?? ''));
  }
  throw new Error(`Tab does not lead there, but to: ${seen.join(' | ')}`);
}

export const hasFocus = (page: Page, selector: string) => async (): Promise<boolean> =>
  page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector);

/** A band of two with one song, both on its board in browsers of their own. */
export async function twoOnABoard(
  page: Page,
  browser: Browser,
  tune = TUNE,
): Promise<{
  readonly ann: Page;
  readonly ben: Page;
  /** The band's link for players. */
  readonly link: string;
  /** Its link for listeners. */
  readonly listenerLink: string;
  readonly end: () => Promise<void>;
}> {
  const context = await browser.newContext();
  const ben = await context.newPage();
  const { boards, link, listenerLink } = await seedBand(page, ben, [tune]);
  await allAt(itemAt(boards, 0), page, ben);
  return { ann: page, ben, link, listenerLink, end: () => context.close() };
}

export const spaces = (page: Page) => page.locator('button[data-space]');
export const detail = (page: Page) => page.locator('section.detail');
export const ideas = (page: Page, name = '') =>
  detail(page)
    .getByRole('list', { name: new RegExp(`Ideas for ${name}`) })
    .getByRole('listitem');

/** In an open space: has a player chosen, waits for their ideas, settles the first by its key, and sees that it stands. */
export async function settleFirst(page: Page, name: string): Promise<void> {
  await detail(page)
    .getByRole('button', { name: new RegExp(`${name} can`) })
    .click();
  await expect.poll(() => ideas(page, name).count()).toBeGreaterThanOrEqual(1);
  await page.keyboard.press('1');
  await expect(detail(page).getByText(new RegExp(`${name} has it: the settled fill`))).toBeVisible();
}
