import { expect, test } from '@playwright/test';
import { kept, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** In A, with a capo for guitar and banjo already wanted. */
const TUNE = `X:1
T:Anvil
M:4/4
L:1/4
Q:1/4=120
K:A
"A" A B c d | "D" d2 "E" e2 | "A" a4 | z4 |]
w: down by the an- vil song
`;

test('in B tonight: what it asks of each player is shown, done in one step for both, and taken back', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser, TUNE);
  await expect(ben.getByText('sounds in A ·')).toBeVisible();
  await ann.keyboard.press('k');
  const panel = ann.getByRole('region', { name: 'In another key' });
  await panel.getByLabel('Tonight in').selectOption({ label: 'B' });
  // Common practice, no source: in B a guitar plays G shapes with the capo at 4, a banjo too, its fifth string up with it.
  await expect(panel.getByText('Ann, guitar: capo 4, G shapes.')).toBeVisible();
  await expect(panel.getByText('Ben, banjo: capo 4, G shapes, fifth string up 4 frets.')).toBeVisible();
  await expectAccessible(ann);
  await panel.getByRole('button', { name: 'Play it in B' }).click();
  await expect(ben.getByText('sounds in B ·')).toBeVisible();
  await expect(ben.getByText(/Ann’s guitar plays G with capo 4/)).toBeVisible();
  await expect(ben.getByText(/Ben’s banjo plays G with capo 4/)).toBeVisible();
  await kept(ann);
  await ann.keyboard.press('Control+z');
  await expect(ben.getByText('sounds in A ·')).toBeVisible();
  await expect(ben.getByText(/with capo 4/)).toHaveCount(0);
  await end();
});
