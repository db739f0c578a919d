import { expect, type Page, test } from '@playwright/test';
import { kept, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

async function names(page: Page): Promise<readonly string[]> {
  return Promise.all(
    (await spaces(page).all()).map(async (one) => (await one.getAttribute('aria-label')) ?? ''),
  );
}

test('somebody else plays it: looked over, done in one step for both, and given back by one undo', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  // Ben has a fill, a break ahead, the count and the signal.
  await spaces(ann).nth(1).click();
  await ann
    .locator('section.detail')
    .getByRole('button', { name: /Ben can/ })
    .click();
  await expect(ann.getByRole('list', { name: /Ideas for Ben/ }).getByRole('listitem')).not.toHaveCount(0);
  await ann.keyboard.press('1');
  await expect(ann.getByText(/Ben has it: the settled fill/)).toBeVisible();
  await ann.keyboard.press('Escape');
  await ann.keyboard.press('b');
  await ann.getByLabel('Counts').selectOption({ label: 'Ben' });
  await ann.keyboard.press('e');
  await ann.getByLabel('On whose signal').selectOption({ label: 'Ben' });
  await kept(ann);
  const before = await names(ann);
  expect(before.filter((name) => /Ben has a fill/.test(name))).toHaveLength(1);

  await ann.keyboard.press('q');
  const panel = ann.getByRole('region', { name: 'Somebody else plays it' });
  await expect(panel.getByLabel('Who is away')).toBeFocused();
  await panel.getByLabel('Who is away').selectOption({ label: 'Ben' });
  await panel.getByLabel('Who plays instead').selectOption({ label: 'Ann' });
  // A banjo's fill does not stand on a guitar: it is worked out anew.
  await expect(panel.getByText(/^Ann on guitar\. One fill worked out anew\./)).toBeVisible({
    timeout: 30_000,
  });
  await panel.getByText('What is worked out anew').click();
  await expect(panel.getByText(/^Bar \d+: the .* on banjo is now .* on guitar\.$/)).toBeVisible();
  expect(await names(ben)).toEqual(before);

  await panel.getByRole('button', { name: 'Ann plays it' }).click();
  await expect(panel).toHaveCount(0);
  await expect(ann.getByText('Ann has all that Ben had in this song. One undo gives it back.')).toBeVisible();
  await expect(ann.getByRole('button', { name: 'Somebody else plays it' })).toBeFocused();
  await kept(ann);
  await expect.poll(async () => (await names(ben)).filter((name) => /Ben has a fill/.test(name))).toEqual([]);
  expect((await names(ben)).filter((name) => /Ann has a fill/.test(name))).toHaveLength(1);
  await expect(ben.getByText('Count-in: Ann.')).toBeVisible();
  await expect(ben.getByRole('region', { name: 'End' }).getByText(/Ann/).first()).toBeVisible();

  await ann.keyboard.press('Control+z');
  await expect.poll(() => names(ben)).toEqual(before);
  await expect(ann.getByText(/has all that/)).toHaveCount(0);
  await kept(ann);

  // The same for a whole evening, from its set list, and for somebody who is not in the band yet.
  await ann.goto(new URL(ann.url()).pathname.replace(/\/song\/.*/, ''));
  await kept(ann);
  await ann.getByRole('button', { name: 'Make a set list' }).click();
  await ann.getByLabel('Name of the set').fill('Saturday');
  await ann.keyboard.press('Enter');
  await expect(ann.getByRole('heading', { level: 1, name: 'Saturday' })).toBeVisible();
  await ann.getByRole('button', { name: /^Add / }).click();
  await kept(ann);
  await ann.keyboard.press('q');
  const evening = ann.getByRole('region', { name: 'Somebody else plays this evening' });
  await expect(evening.getByLabel('Who is away')).toBeFocused();
  await evening.getByLabel('Who is away').selectOption({ label: 'Ben' });
  await evening.getByLabel('Who plays instead').selectOption({ label: 'somebody new…' });
  await evening.getByLabel('Their name').fill('Lou');
  await ann.keyboard.press('Enter');
  await expect(evening.getByText('One song goes over whole.')).toBeVisible({ timeout: 30_000 });
  await expect(
    evening.getByText(/^Lou on banjo\. One place stays as it is\. All of it goes\.$/),
  ).toBeVisible();
  await expectAccessible(ann);
  expect(await names(ben)).toEqual(before);

  await ann.keyboard.press('Control+Enter');
  await expect(evening.getByText('Lou has all that goes in one song.')).toBeVisible();
  await expect
    .poll(async () => (await names(ben)).filter((name) => /Lou has a fill/.test(name)))
    .toHaveLength(1);
  await expect(ben.getByText('Count-in: Lou.')).toBeVisible();
  await ann.keyboard.press('b');
  await expect.poll(() => names(ben)).toEqual(before);
  await expect(evening.getByText('Ben has it again.')).toBeVisible();
  await end();
});
