import { type Browser, expect, type Page, test } from '@playwright/test';
import { must } from '../../lib/base';
import { allAt, kept } from './band-at-work';
import { expectAccessible } from './reading-aloud';
import { seedBand } from './seeded';

/** Short tunes of ours in keys that want different capos; 8 bars of four at 120 are 16 seconds. */
const tune = (title: string, key: string) => `X:1
T:${title}
M:4/4
L:1/4
Q:1/4=120
K:${key}
"${key}" z4 | z4 | z4 | z4 | z4 | z4 | z2 ${key} z | ${key}4 |]
w: oh now
`;

const TUNES = [tune('Anvil', 'A'), tune('Dairy', 'D'), tune('Gate', 'G')];

/** Two people before one set of three songs, in the order A, D, G. */
async function twoBeforeASet(page: Page, browser: Browser) {
  const context = await browser.newContext();
  const ben = await context.newPage();
  const { set } = await seedBand(page, ben, TUNES, 'Saturday');
  await allAt(must(set, 'the set'), page, ben);
  return { ann: page, ben, end: () => context.close() };
}

const titles = (page: Page) =>
  page.getByRole('list', { name: 'The songs in order' }).locator('a[data-song]').allTextContents();
const stands = (page: Page, ...order: string[]) => expect.poll(() => titles(page)).toEqual(order);

/** The row of a song, which others may name too. */
const row = (page: Page, title: string) =>
  page.locator('[data-entry]').filter({ has: page.getByRole('link', { name: title, exact: true }) });

test('a set is made, moved by button, key and pointer, held, noted, timed and taken back', async ({
  page,
  browser,
}) => {
  const ann = page;
  const context = await browser.newContext();
  const ben = await context.newPage();
  const { band } = await seedBand(ann, ben, TUNES);
  await ann.goto(band);
  await kept(ann);
  await ann.getByRole('button', { name: 'Make a set list' }).click();
  await ann.getByLabel('Name of the set').fill('Saturday');
  await ann.keyboard.press('Enter');
  await expect(ann.getByRole('heading', { level: 1, name: 'Saturday' })).toBeVisible();
  for (const title of ['Anvil', 'Dairy', 'Gate'])
    await ann.getByRole('button', { name: `Add ${title}` }).click();
  await kept(ann);
  await ben.goto(ann.url());
  await kept(ben);
  await stands(ann, 'Anvil', 'Dairy', 'Gate');
  await stands(ben, 'Anvil', 'Dairy', 'Gate');
  // Worked by hand: three songs of eight bars at 120 are 48 seconds; two pauses of eight seconds lie between.
  await expect(ann.locator('[data-clock]')).toContainText('1:04 in all');

  await ann.getByRole('button', { name: 'Move Gate up' }).click();
  await stands(ben, 'Anvil', 'Gate', 'Dairy');
  await ann.getByRole('link', { name: 'Anvil' }).focus();
  await ann.keyboard.press('Shift+ArrowDown');
  await stands(ben, 'Gate', 'Anvil', 'Dairy');

  const handle = ann.locator('[data-entry]').nth(2).locator('span[aria-hidden]').first();
  const [from, to] = [await handle.boundingBox(), await ann.locator('[data-entry]').first().boundingBox()];
  if (!from || !to) throw new Error('nothing to drag');
  await ann.mouse.move(from.x + 10, from.y + 10);
  await ann.mouse.down();
  await ann.mouse.move(to.x + 20, to.y + 2, { steps: 5 });
  await ann.mouse.up();
  await stands(ben, 'Dairy', 'Gate', 'Anvil');
  await ann.keyboard.press('Control+z');
  await stands(ben, 'Gate', 'Anvil', 'Dairy');

  await ben.getByRole('button', { name: 'Hold Gate in place' }).click();
  await expect(ann.getByRole('button', { name: 'Hold Gate in place' })).toContainText('held first');
  await ben.getByLabel('Note for Dairy').fill('thank the hall');
  await ben.keyboard.press('Enter');
  await expect(ann.getByLabel('Note for Dairy')).toHaveValue('thank the hall');
  await ben.getByRole('button', { name: 'More about Dairy' }).click();
  await ben.getByLabel('talk before it').fill('30');
  await ben.keyboard.press('Enter');
  await expect(ann.locator('[data-clock]')).toContainText('1:26 in all');
  await ben.getByLabel('Minutes promised').fill('1');
  await ben.keyboard.press('Enter');
  await expect(ann.locator('[data-clock]')).toContainText('0:26 over the 1:00 promised');
  await expectAccessible(ann);
  await context.close();
});

test('two people who move at once lose and double nothing', async ({ page, browser }) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  await Promise.all([
    ann.getByRole('button', { name: 'Move Gate up' }).click(),
    ben.getByRole('button', { name: 'Move Anvil down' }).click(),
    ben.getByRole('button', { name: 'Add Dairy' }).click(),
  ]);
  await expect.poll(async () => (await titles(ann)).length).toBe(4);
  await expect
    .poll(async () => (await titles(ann)).join() === (await titles(ben)).join(), {
      message: 'both see the same',
    })
    .toBe(true);
  expect((await titles(ann)).sort()).toEqual(['Anvil', 'Dairy', 'Dairy', 'Gate']);
  await end();
});

test('an order is asked for, compared and taken in one step; what is held stays', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  for (const [title, strength] of [
    ['Anvil', '5'],
    ['Dairy', '1'],
    ['Gate', '4'],
  ] as const) {
    await ann.getByRole('button', { name: `More about ${title}` }).click();
    await row(ann, title).getByLabel('how strong').selectOption(strength);
  }
  await ann.keyboard.press('o');
  await expect(ann.getByRole('region', { name: 'The order proposed' })).toBeVisible();
  await ann.getByRole('button', { name: 'Take this order' }).click();
  // The strongest closes, the next opens.
  await stands(ben, 'Gate', 'Dairy', 'Anvil');
  await ann.keyboard.press('Control+z');
  await stands(ben, 'Anvil', 'Dairy', 'Gate');
  await ann.getByRole('button', { name: 'Hold Anvil in place' }).click();
  await ann.keyboard.press('o');
  // Worked by hand: free it would close, being the strongest; held first, the other two stand best as they are.
  await expect(ann.getByText('It stands well: no order costs less.')).toBeVisible();
  // And from here to what is printed of it.
  await ann.keyboard.press('e');
  await expect(ann).toHaveURL(/\/book\//);
  await expect(ann.getByRole('heading', { level: 1 })).toBeVisible();
  await end();
});

test('what lies between is said with its reasons, medleys and breaks run by the clock, and wishes are shared', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  await ann.getByRole('button', { name: 'Why Dairy follows Anvil' }).click();
  const between = row(ann, 'Anvil').locator('[data-between]');
  await expect(between).toContainText('A to D (up 5 semitones); the same tempo');
  // Worked by hand: one tempo is worth 8, and in three keys at one tempo no order costs more than another.
  await expect(between).toContainText('8: both at one tempo (8)');
  await expect(between).toContainText('the whole order would cost the same');
  await expectAccessible(ann);

  await ann.getByRole('button', { name: 'More about Anvil' }).click();
  await row(ann, 'Anvil').getByRole('button', { name: 'straight into the next' }).click();
  await row(ann, 'Anvil').getByLabel('by').fill('2');
  await ann.keyboard.press('Enter');
  // Two bars of four at 120 are four seconds, and stand for the pause of eight.
  await expect(ben.locator('[data-clock]')).toContainText('1:00 in all');
  await expect(row(ben, 'Anvil')).toContainText('straight on, 2 link bars');
  await ann.getByRole('button', { name: 'More about Dairy' }).click();
  await row(ann, 'Dairy').getByRole('button', { name: 'a break after it' }).click();
  await expect(ben.locator('[data-clock]')).toContainText('0:52 in all (0:36 and 0:16, breaks not counted)');
  await expect(row(ben, 'Gate')).toContainText('Second set, 0:16');

  await row(ann, 'Anvil').getByLabel('Another song of the set').selectOption('Gate');
  await row(ann, 'Anvil').getByRole('button', { name: 'wanted next to each other', exact: true }).click();
  await ben.getByRole('button', { name: 'More about Gate' }).click();
  await expect(row(ben, 'Gate').getByRole('button', { name: /Wanted next to Anvil/ })).toBeVisible();
  await expectAccessible(ann);
  await end();
});

test('minutes are cut in one step, and taken back in one', async ({ page, browser }) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  await ann.getByLabel('Minutes to cut').fill('0.6');
  // Worked by hand: 36 seconds are more than one song and its pause, 24, and less than two, 48.
  await expect(ann.getByRole('region', { name: 'What goes' })).toContainText('it is 0:48 shorter');
  await ann.getByRole('button', { name: /^Take them out|Take out .* and / }).click();
  await expect.poll(async () => (await titles(ben)).length).toBe(1);
  await ann.keyboard.press('Control+z');
  await stands(ben, 'Anvil', 'Dairy', 'Gate');
  await ann.getByLabel('Minutes to cut').fill('12');
  await expect(ann.getByText(/This cannot be cut: at most 48 seconds/)).toBeVisible();
  await end();
});

test('how a song went after the gig is seen next time, and a shaky one does not open', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  await ben.keyboard.press('g');
  await ben.getByLabel('Anvil', { exact: true }).fill('too fast');
  await ben.getByRole('button', { name: 'Anvil was shaky' }).click();
  await expect(row(ann, 'Anvil')).toContainText(/last time shaky: too fast \(Ben, \d{4}-\d\d-\d\d\)/);
  await expectAccessible(ben);
  await ann.keyboard.press('o');
  const proposed = ann.getByRole('region', { name: 'The order proposed' });
  await expect(proposed).toContainText('a shaky opener: 40 less');
  await expectAccessible(ann);
  // What is found can be held in part, and the rest looked for again.
  await proposed.getByRole('button', { name: /^Hold Anvil here/ }).click();
  await ann.getByRole('button', { name: 'Put the others in order again' }).click();
  await expect(proposed).toContainText('no order costs less');
  await ann.keyboard.press('Enter');
  await expect.poll(async () => (await titles(ben))[0]).not.toBe('Anvil');
  await ann.keyboard.press('Control+z');
  await stands(ben, 'Anvil', 'Dairy', 'Gate');
  await ann.getByRole('link', { name: 'Anvil', exact: true }).click();
  await expect(ann.getByText(/Last time shaky: too fast/)).toBeVisible();
  await end();
});

test('only keys: renamed, walked through, opened, explained, carried and taken out', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  await ann.keyboard.press('n');
  await ann.keyboard.press('Control+a');
  await ann.keyboard.type('Saturday late');
  await ann.keyboard.press('Enter');
  await expect(ben.getByRole('heading', { level: 1, name: 'Saturday late' })).toBeVisible();
  await ann.keyboard.press('ArrowDown');
  await ann.keyboard.press('m');
  await expect(row(ann, 'Anvil').getByLabel('how strong')).toBeVisible();
  await ann.keyboard.press('y');
  await expect(row(ann, 'Anvil')).toContainText('the crowd hears');
  await ann.keyboard.press('Shift+ArrowDown');
  await ann.keyboard.press('Shift+ArrowDown');
  await stands(ben, 'Dairy', 'Gate', 'Anvil');
  await ann.keyboard.press('ArrowUp');
  await ann.keyboard.press('Delete');
  await stands(ben, 'Dairy', 'Anvil');
  await end();
});

test('the clock follows a tempo that somebody changes in a song meanwhile', async ({ page, browser }) => {
  const { ann, ben, end } = await twoBeforeASet(page, browser);
  const clock = ben.locator('[data-clock]');
  await expect(row(ben, 'Anvil')).toBeVisible();
  const before = await clock.textContent();
  await ann.getByRole('link', { name: 'Anvil', exact: true }).click();
  await expect(ann.getByRole('heading', { level: 1, name: 'Anvil' })).toBeVisible();
  await kept(ann);
  await ann.keyboard.press('s');
  await ann.getByLabel('Quarter notes a minute').fill('60');
  await ann.getByRole('button', { name: 'Keep', exact: true }).click();
  await kept(ann);
  // Worked by hand: eight bars of four beats at 60 a minute are 32 seconds, and were 16 at 120.
  const seconds = (text: string | null) => {
    const [, minutes, rest] = /(\d+):(\d\d)/.exec(text ?? '') ?? [];
    return Number(minutes) * 60 + Number(rest);
  };
  await ben.evaluate(() => window.dispatchEvent(new Event('focus')));
  await expect
    .poll(async () => seconds(await clock.textContent()), { timeout: 30_000 })
    .toBe(seconds(before) + 16);
  await end();
});

test.describe('by touch on a small page', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });
  test('songs are moved and nothing is cut off', async ({ page, browser }) => {
    const { ann, ben, end } = await twoBeforeASet(page, browser);
    await ann.getByRole('button', { name: 'Move Dairy up' }).tap();
    await stands(ben, 'Dairy', 'Anvil', 'Gate');
    expect(await ann.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(390);
    await expectAccessible(ann);
    await end();
  });
});
