import { expect, type Page, test } from '@playwright/test';
import { detail, kept, spaces, tabTo, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

const on = (page: Page) => page.getByLabel('We play around one microphone');

const isFree = (said: string): boolean => /Ben can(?!’t)/.test(said);

/** Who is free for each space as its detail says it: the sentences about a player. */
async function saidOf(page: Page, name: string): Promise<readonly string[]> {
  const told: string[] = [];
  for (let i = 0; i < (await spaces(page).count()); i++) {
    const space = spaces(page).nth(i);
    await space.focus();
    await page.keyboard.press('Enter');
    const said = detail(page)
      .getByRole('listitem')
      .filter({ hasText: new RegExp(`${name} (?:can|has it)`) });
    await expect(said).toHaveCount(1);
    told.push(((await said.textContent()) ?? '').replace(/\s+/g, ' '));
    await page.keyboard.press('Escape');
    await expect(detail(page)).toHaveCount(0);
  }
  return told;
}

test('around one microphone a space that was free is free no more, and the band’s page says how long the ways are', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const board = ben.url();
  const before = await saidOf(ben, 'Ben');
  expect(before.some(isFree)).toBe(true);

  await ann.goto(board.replace(/\/song\/.*$/, ''));
  await kept(ann);
  await expect(ann.getByLabel('Seconds to come in')).toHaveCount(0);
  await on(ann).focus();
  await ann.keyboard.press('Space');
  await kept(ann);
  const comes = ann.getByLabel('Seconds to come in');
  await expect(comes).toHaveValue('1');

  // What cannot be read is said where it stands, nothing that was typed is lost, and nothing is kept of it.
  await comes.fill('soon');
  await ann.keyboard.press('Enter');
  await expect(ann.getByText(/Not kept yet: write a number of seconds from 0 to 10/)).toBeVisible();
  await expect(comes).toHaveValue('soon');
  await comes.fill('2,5');
  await ann.keyboard.press('Enter');
  await expect(ann.getByText(/Not kept yet/)).toHaveCount(0);
  await expect(comes).toHaveValue('2.5');

  // The order of standing, by keys alone; the keys stay with who was moved.
  const order = ann.getByRole('list', { name: /Who stands where/ }).getByRole('listitem');
  await expect(order).toHaveText([/Ann/, /Ben/]);
  const right = ann.getByRole('button', { name: 'Ann a place to the right' });
  await tabTo(ann, () => right.evaluate((button) => button === document.activeElement));
  await ann.keyboard.press('Enter');
  await expect(order).toHaveText([/Ben/, /Ann/]);
  await expect(ann.getByRole('button', { name: 'Ann a place to the left' })).toBeFocused();
  await kept(ann);
  await expectAccessible(ann);

  await ben.reload();
  await kept(ben);
  const after = await saidOf(ben, 'Ben');
  const lost = after.filter((said, i) => isFree(before[i] ?? '') && !isFree(said));
  expect(lost.length).toBeGreaterThan(0);
  for (const said of lost) expect(said).toMatch(/Ben can’t: has no time in \d[\w ]* beats? to .+ microphone/);

  // Off again, all is as it was.
  await on(ann).uncheck();
  await kept(ann);
  await ben.reload();
  await kept(ben);
  expect(await saidOf(ben, 'Ben')).toEqual(before);
  await end();
});

test('around one microphone a part says when its player comes in', async ({ page, browser }) => {
  const { ann, end } = await twoOnABoard(page, browser);
  const board = ann.url();
  await ann.goto(board.replace(/\/song\/.*$/, ''));
  await kept(ann);
  await on(ann).check();
  await kept(ann);
  await ann.goto(board);
  await kept(ann);
  const part = await ann.locator('a[href*="/part/"]').first().getAttribute('href');
  await ann.goto(new URL(part ?? '', board).href);
  // Who sings first stands there as the song begins.
  await expect(ann.getByText(/^bar 1, beat 1: at the mic/)).toBeVisible();
  await end();
});
