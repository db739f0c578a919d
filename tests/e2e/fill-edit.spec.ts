import { type Browser, expect, type Locator, type Page, test } from '@playwright/test';
import { detail, ideas, kept, spaces, twoOnABoard } from './band-at-work';
import { doubledKeys } from './reach-checks';
import { expectAccessible } from './reading-aloud';

const field = (page: Page) => page.getByRole('group', { name: 'The fill, note by note' });
const said = (page: Page) => page.locator('.fill-said');

/** Opens the longest space of the tune, with Ben's ideas in it. */
async function openForBen(page: Page): Promise<Locator> {
  const space = spaces(page).nth(3);
  await space.click();
  await detail(page)
    .getByRole('button', { name: /Ben can/ })
    .click();
  await expect.poll(() => ideas(page, 'Ben').count()).toBeGreaterThanOrEqual(3);
  return space;
}

/** String and fret of each note of an idea, as it is read out. */
async function notesOf(idea: Locator): Promise<readonly string[]> {
  const label = (await idea.getByRole('img').getAttribute('aria-label')) ?? '';
  return label.replace(/^[^:]*: /, '').split(', ');
}

test('by keyboard: an idea is thinned out, changed by hand, settled, seen by the other and on the part', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const space = await openForBen(ann);
  const first = ideas(ann, 'Ben').first();
  const before = await notesOf(first);
  await first.getByRole('button', { name: /Change it/ }).focus();
  await ann.keyboard.press('Enter');
  await ann.keyboard.press('f');
  await expect(detail(ann).getByRole('status').filter({ hasText: 'Idea 1, fewer notes' })).toHaveCount(1);
  // What is open has its keys, and the same letter stands beside nothing else.
  await expect.poll(() => doubledKeys(ann)).toEqual([]);
  const fewer = await notesOf(first);
  expect(fewer.length).toBeLessThan(before.length);
  await ann.keyboard.press('b');
  await expect.poll(() => notesOf(first)).toEqual(before);
  await ann.keyboard.press('f');
  await expect.poll(() => notesOf(first)).toEqual(fewer);

  // By hand: the first note goes to fret 2 of the string below, and one more is put beside it.
  await ann.keyboard.press('e');
  await expect(field(ann)).toBeFocused();
  await expect(said(ann)).toHaveText(/^bar \d+, beat \d.*: (open|fret \d+)/);
  await expectAccessible(ann);
  await expect.poll(() => doubledKeys(ann)).toEqual([]);
  await ann.keyboard.press('Delete');
  await expect(said(ann)).toHaveText(/: nothing/);
  await ann.keyboard.press('2');
  await expect(said(ann)).toHaveText(/fret 2/);
  await ann.keyboard.press('Control+z');
  await expect(said(ann)).toHaveText(/: nothing/);
  await ann.keyboard.press('Control+Shift+z');
  await expect(said(ann)).toHaveText(/fret 2/);
  // What Ben does elsewhere meanwhile leaves the notes under Ann's hands.
  await spaces(ben).first().click();
  await ben.keyboard.press('o');
  await expect(spaces(ann).first()).toHaveAccessibleName(/left open/);
  await ben.keyboard.press('Escape');
  await expect(field(ann)).toBeFocused();
  await expect(said(ann)).toHaveText(/fret 2/);
  // Two digits are one fret, and one step; with fret 2 held beside it no hand reaches it, whatever the idea was.
  await ann.keyboard.press('ArrowDown');
  await ann.keyboard.press('1');
  await ann.keyboard.press('1');
  await expect(said(ann)).toHaveText(/fret 11/);
  await expect(detail(ann).getByText('What is hard here')).toBeVisible();
  await ann.keyboard.press('Control+z');
  await expect(said(ann)).not.toHaveText(/fret 1/);
  // Ben has not seen anything of it yet.
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/unclaimed/);
  await ann.keyboard.press('Enter');
  await expect(space).toHaveAccessibleName(/Ben has a fill/);
  await kept(ann);
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/Ben has a fill/);

  // On Ben's part it stands, and one undo takes all of it back.
  await ben.keyboard.press('p');
  await ben.waitForURL(/\/part\//);
  await expect(ben.getByText('Your spaces')).toBeVisible();
  await expect(ben.locator('main.part .part-own li')).toHaveText(/: as written\./);
  const signs = [...(await ben.locator('main.part svg text').allTextContents()).join('')];
  expect(signs.filter((sign) => /^\d+$/.test(sign)).length).toBeGreaterThanOrEqual(fewer.length);
  await ann.keyboard.press('Control+z');
  await expect(space).toHaveAccessibleName(/unclaimed/);
  await end();
});

test('by touch, on a small screen: an idea is turned, changed with buttons and settled', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  const address = ann.url();
  const phone = await phoneOf(browser, ann);
  await phone.goto(address);
  await kept(phone);
  await spaces(phone).nth(3).tap();
  await detail(phone)
    .getByRole('button', { name: /Ben can/ })
    .tap();
  await expect.poll(() => ideas(phone, 'Ben').count()).toBeGreaterThanOrEqual(3);
  const second = ideas(phone, 'Ben').nth(1);
  const before = await notesOf(second);
  await second.getByRole('button', { name: /Change it/ }).tap();
  await second.getByRole('button', { name: 'fewer notes' }).tap();
  await expect.poll(async () => (await notesOf(second)).length).toBeLessThan(before.length);
  await second.getByRole('button', { name: 'Change it by hand' }).tap();
  const drawing = phone.locator('.fill-drawing');
  await expect(drawing).toBeVisible();
  await drawing.tap({ position: { x: 20, y: 44 } });
  await expect(said(phone)).toHaveText(/string 1/);
  await detail(phone).getByRole('button', { name: 'String below' }).tap();
  await expect(said(phone)).toHaveText(/string 2/);
  await detail(phone)
    .getByRole('button', { name: /a note here|fret up/ })
    .tap();
  await expect(said(phone)).toHaveText(/string 2: (open|fret \d+)/);
  await detail(phone).getByRole('button', { name: 'take it out' }).tap();
  await expect(said(phone)).toHaveText(/string 2: nothing/);
  await detail(phone).getByRole('button', { name: 'take back' }).tap();
  await expect(said(phone)).toHaveText(/string 2: (open|fret \d+)/);
  const beyond = await phone.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  expect(beyond).toBeLessThanOrEqual(0);
  await detail(phone).getByRole('button', { name: 'Settle it so' }).tap();
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/Ben has a fill/);

  // What is settled is taken up again, and left as it is.
  await detail(phone).getByRole('button', { name: 'Change the settled fill' }).tap();
  await expect(field(phone)).toBeVisible();
  await detail(phone).getByRole('button', { name: 'stop changing it' }).tap();
  await expect(field(phone)).toHaveCount(0);
  await phone.context().close();
  await end();
});

test('a fill is kept as a figure of one’s own, and is among the ideas in another space', async ({
  page,
  browser,
}) => {
  const { ben, end } = await twoOnABoard(page, browser);
  await openForBen(ben);
  await ideas(ben, 'Ben')
    .first()
    .getByRole('button', { name: /Change it/ })
    .click();
  for (let press = 0; press < 2; press++) {
    const before = (await notesOf(ideas(ben, 'Ben').first())).length;
    await ben.keyboard.press('f');
    await expect.poll(async () => (await notesOf(ideas(ben, 'Ben').first())).length).toBeLessThan(before);
  }
  await ben.keyboard.press('g');
  await ben.getByLabel('Its name').fill('the gate latch');
  await ben.keyboard.press('Enter');
  await expect(ben.getByText(/Kept as “the gate latch”/)).toBeVisible();
  await ben.keyboard.press('Escape');
  await spaces(ben).nth(2).click();
  await detail(ben).getByRole('button', { name: 'More ideas' }).click();
  await expect(ideas(ben, 'Ben').filter({ hasText: '“the gate latch”' }).first()).toBeVisible();

  // On the band's page it is drawn over its own box, as everywhere.
  await ben.getByRole('link', { name: 'Weir Street' }).first().click();
  const drawn = ben.getByRole('img', { name: /^\d+ notes for/ }).locator('svg');
  await expect(drawn).toHaveCSS('position', 'absolute');
  await expect(drawn).toHaveCSS('overflow', 'visible');
  await end();
});

/** The same person on a phone: their session, a narrow screen and fingers. */
async function phoneOf(browser: Browser, page: Page): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    isMobile: true,
    storageState: await page.context().storageState(),
  });
  return context.newPage();
}
