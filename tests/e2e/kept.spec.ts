import { expect, type Page, test } from '@playwright/test';
import { kept, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** A tune of ours. */
const TUNE = `X:1
T:Lantern Ford
M:4/4
L:1/8
Q:1/4=100
K:G
|:"G"B2A2 G2E2|"C"E4 z4|"D"A2B2 A2F2|"G"G2 z6:|
w: Hold the lan-tern low, for the ford is wide to-night.
w: Hold the lan-tern high, for the moon is on its way.
`;

const agreed = (page: Page) => page.getByRole('region', { name: 'As agreed on' });

test('by keys: a song is kept as agreed on, seen again by another, gone back to, and nothing of what came after is lost', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser, TUNE);
  await expect(agreed(ann).getByRole('button', { name: 'As agreed on' })).toBeVisible();
  await ann.keyboard.press('#');
  await ann.getByLabel('Keep the song as it is now, as').fill('for Saturday');
  await ann.keyboard.press('Enter');
  await expect(agreed(ann).getByRole('status')).toContainText('Kept: for Saturday.');
  await kept(ann);
  await expectAccessible(ann);

  // Ben sees it, and changes the song.
  await expect(agreed(ben)).toContainText('for Saturday');
  const passes = (page: Page) => page.locator('section.pass[data-pass]');
  const count = await passes(ben).count();
  expect(count).toBeGreaterThan(1);
  await ben.keyboard.press('%');
  await expect(ben.getByRole('group', { name: /passes$/ })).toBeFocused();
  await ben.keyboard.press('Delete');
  await expect(passes(ann)).toHaveCount(count - 1);

  // What changed since, in sentences.
  await agreed(ann).getByRole('button', { name: 'What changed since: for Saturday' }).click();
  await expect(agreed(ann).getByRole('listitem').first()).toContainText(/verse|pass|cut|twice|second/i);

  // Back, for both; how it was before is kept beside it; undo takes it back.
  await agreed(ann).getByRole('button', { name: 'Go back to it: for Saturday' }).focus();
  await ann.keyboard.press('Enter');
  await expect(passes(ben)).toHaveCount(count);
  await expect(agreed(ann)).toContainText('Before going back to for Saturday');
  await ann.keyboard.press('Control+z');
  await expect(passes(ann)).toHaveCount(count - 1);
  await expect(passes(ben)).toHaveCount(count - 1);
  await end();
});
