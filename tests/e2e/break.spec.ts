import { expect, type Page, test } from '@playwright/test';
import { detail, ideas, kept, spaces, tabTo, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** A song of ours: ten bars sung twice, seven beats of silence after each half. */
const CINDER_LANE = `X:1
T:Cinder Lane
M:4/4
L:1/8
Q:1/4=112
K:G
|:"G"B2A2 G2E2|"G"D2E2 G4|"C"E2G2 A2G2|"G"B2 z6|"G"z8|
w: Down the cin-der lane we go, car-ry-ing the coal,
w: Up the cin-der lane they came, count-ing ev-ery stone,
"G"B2A2 G2E2|"C"E2G2 c4|"D7"A2B2 A2F2|"G"G2 z6|"G"z8:|
w: black as all the cel-lar floor, hot be-neath the snow.
w: noth-ing in their pock-ets but the long road home.
`;

const open = (page: Page) => detail(page).getByRole('heading', { level: 3 });
const focused = (page: Page) => page.evaluate(() => document.activeElement?.textContent ?? '');

/** By keys: goes from space to space until one says what is wanted, and opens it. */
async function openSpace(page: Page, wanted: RegExp): Promise<void> {
  for (let i = 0; i < 20; i++) {
    await page.keyboard.press('ArrowDown');
    const name = await page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? '');
    if (!wanted.test(name)) continue;
    await page.keyboard.press('Enter');
    await expect(open(page)).toBeVisible();
    return;
  }
  throw new Error(`no space says ${wanted}`);
}

test('by keys alone: a fill is picked, thinned out and settled, a break is made, backup looked at, both parts printed', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser, CINDER_LANE);
  // The second time through becomes a break.
  const second = ann.locator('section.pass[data-pass]').nth(1);
  await second.getByRole('button', { name: /order|roles/ }).click();
  await ann.getByLabel('sung:').selectOption('by nobody: a break');
  await expect(second.getByRole('heading', { level: 2 })).toContainText(/break/i);

  // A fill: Ann's second idea, with fewer notes, settled.
  await openSpace(ann, /^(?!Nobody).*seven beats.*unclaimed/);
  await expect.poll(() => ideas(ann, 'Ann').count()).toBeGreaterThanOrEqual(3);
  const idea = ideas(ann, 'Ann').nth(1);
  const change = idea.getByRole('button', { name: /Change it/ });
  await tabTo(ann, () => change.evaluate((one) => one === document.activeElement));
  await ann.keyboard.press('Enter');
  await ann.keyboard.press('f');
  await expect(detail(ann).getByRole('status').filter({ hasText: 'Idea 2, fewer notes' })).toHaveCount(1);
  await ann.keyboard.press('2');
  await expect(detail(ann).getByText(/Ann has it: the settled fill/)).toBeVisible();
  await ann.keyboard.press('Escape');

  // The break, the tune inside it, is Ann's, and so is the pass, in one step.
  await openSpace(ann, /Nobody sings/);
  await expect.poll(() => ideas(ann, 'Ann').count()).toBeGreaterThanOrEqual(1);
  await expectAccessible(ann);
  await ann.keyboard.press('1');
  await expect(second.locator('.pass-margin')).toContainText('Ann takes the break');
  await kept(ann);
  await expect(ben.locator('section.pass[data-pass]').nth(1).locator('.pass-margin')).toContainText(
    'Ann takes the break',
  );
  await ann.keyboard.press('Escape');

  // What is played behind the singer: Ann's own first, then Ben's behind the break.
  const first = ann.locator('section.pass[data-pass]').first();
  await first.getByRole('button', { name: 'backup' }).focus();
  await ann.keyboard.press('Enter');
  await expect(first.getByRole('img', { name: /^Backup in bars/ }).first()).toBeVisible();
  await expect(first.locator('.backup')).toContainText(/strums between them/);
  await expectAccessible(ann);
  await second.getByRole('button', { name: 'backup' }).focus();
  await ann.keyboard.press('Enter');
  await expect(second.locator('.backup')).toContainText('Ann plays no backup in this pass');
  await second.getByRole('combobox', { name: /Backup of/ }).selectOption({ label: 'Ben, banjo' });
  await expect(second.getByRole('img', { name: /^Backup in bars/ }).first()).toBeVisible();
  await ann.keyboard.press('Tab');
  expect(await focused(ann)).not.toBe('');

  // Both parts as pages and as files.
  for (const player of [ann, ben]) {
    await player.getByRole('link', { name: 'Your part' }).focus();
    await player.keyboard.press('Enter');
    await player.waitForURL(/\/part\//);
    await expect(player.locator('main.part')).toContainText('Cinder Lane');
  }
  const address = new URL(ann.url());
  const [, , bandId, , songId, , playerId] = address.pathname.split('/');
  const pdf = await ann.request.get(`/api/bands/${bandId}/songs/${songId}/parts/${playerId}.pdf`);
  expect(pdf.status()).toBe(200);
  expect((await pdf.body()).subarray(0, 5).toString()).toBe('%PDF-');
  await end();
});

test('whoever takes a whole pass ad lib has its break, and undo gives it back', async ({ page, browser }) => {
  const { ann, end } = await twoOnABoard(page, browser, CINDER_LANE);
  const second = ann.locator('section.pass[data-pass]').nth(1);
  await second.getByRole('button', { name: /order|roles/ }).click();
  await ann.getByLabel('sung:').selectOption('by nobody: a break');
  await second.locator('button[data-space]').first().click();
  await detail(ann)
    .getByRole('button', { name: /Ben can/ })
    .click();
  await ann.keyboard.press('a');
  await expect(second.locator('.pass-margin')).toContainText('Ben takes the break');
  await ann.keyboard.press('Control+z');
  await expect(second.locator('.pass-margin')).not.toContainText('Ben takes the break');
  expect(await spaces(ann).count()).toBeGreaterThan(2);
  await end();
});
