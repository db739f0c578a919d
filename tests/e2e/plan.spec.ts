import { expect, type Page, test } from '@playwright/test';
import { kept, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

const entries = (page: Page) => page.locator('[data-plan]');
const unclaimed = (page: Page) => page.locator('button[data-space][aria-label*="unclaimed"]');

async function names(page: Page): Promise<readonly string[]> {
  return Promise.all(
    (await spaces(page).all()).map(async (one) => (await one.getAttribute('aria-label')) ?? ''),
  );
}

/** Opens who takes what by its key and has it worked out. */
async function workOut(page: Page): Promise<void> {
  await page.keyboard.press('f');
  await expect(page.getByRole('heading', { name: 'Who takes what' })).toBeVisible();
  await page.keyboard.press('g');
  await expect(page.getByRole('button', { name: /^Settle all/ })).toBeVisible({ timeout: 30_000 });
}

test('who takes what: asked for, looked over, settled whole, seen by the other, taken back in one step', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const before = await names(ann);
  await workOut(ann);
  await expect(entries(ann)).toHaveCount(await spaces(ann).count());
  for (const entry of await entries(ann).all()) await expect(entry).toContainText(/Ann|Ben|left open/);
  await expect(ann.getByText(/no plan costs less/)).toBeVisible();
  await expect(
    entries(ann)
      .getByText(/Next best: |As good: /)
      .first(),
  ).toBeVisible();
  // Nothing is written until it is settled.
  expect(await names(ben)).toEqual(before);
  await expectAccessible(ann);

  await ann.keyboard.press('y');
  await expect(ann.getByText(/spaces settled\. One undo takes them all back/)).toBeVisible();
  await expect.poll(async () => (await names(ben)).filter((name) => /unclaimed/.test(name))).toEqual([]);
  await kept(ann);
  await expect(ann.getByText('Nothing that is settled clashes.')).toBeVisible();

  await ann.keyboard.press('Control+z');
  await expect.poll(() => names(ben)).toEqual(before);
  await kept(ann);
  await end();
});

test('who takes what, space by space by key: one settled, one left for now, and a settled one stays as it is', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  // Ben settles the first space himself: a plan keeps to it.
  await spaces(ben).first().click();
  await ben.keyboard.press('o');
  await expect(spaces(ann).first()).toHaveAccessibleName(/left open/);
  await workOut(ann);
  await expect(entries(ann).first()).toContainText('Settled already.');

  const current = ann.locator('[data-plan][aria-current="step"]');
  const first = await current.getAttribute('data-plan');
  await ann.keyboard.press('v');
  await expect.poll(() => current.getAttribute('data-plan')).not.toBe(first);
  const second = await current.getAttribute('data-plan');
  await ann.keyboard.press('d');
  await expect(ann.locator(`[data-plan="${second}"]`)).toContainText('Settled now.');
  await expect(ben.locator(`button[data-space="${second}"]`)).not.toHaveAccessibleName(/unclaimed/);
  await expect(ben.locator(`button[data-space="${first}"]`)).toHaveAccessibleName(/unclaimed/);
  await expect(spaces(ben).first()).toHaveAccessibleName(/left open/);
  await end();
});

test('a clash is told with its place, and mended by one key, once who holds it has been asked about', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await workOut(ann);
  await ann.keyboard.press('y');
  await expect(unclaimed(ann)).toHaveCount(0);
  await expect(ann.getByText('Nothing that is settled clashes.')).toBeVisible();
  expect((await names(ann)).some((name) => /Ben has a fill/.test(name))).toBe(true);

  // Another capo: fills that were made without one no longer sound as written.
  await ben.keyboard.press('s');
  await ben.getByRole('listitem', { name: 'Ben' }).getByLabel(/^capo/).selectOption('2');
  const mend = ann.getByRole('button', { name: /^Work it out anew for Ben/ });
  await expect(mend.first()).toBeVisible();
  const clashes = await mend.count();
  await ann.keyboard.press('h');
  // Its notes are Ben's word: Ann is asked, and nothing is done before she says so.
  await expect(ann.getByRole('alert').filter({ hasText: 'Ben holds it' })).toBeVisible();
  await expect(mend).toHaveCount(clashes);
  await ann.keyboard.press('j');
  await expect(mend).toHaveCount(clashes - 1);
  await kept(ann);
  await end();
});
