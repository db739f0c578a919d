import { readFileSync } from 'node:fs';
import { expect, type Locator, type Page, test } from '@playwright/test';
import { kept, madeBand, pasted, tabTo, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** A song of ours as people have it: words with chords above, no barlines, no tune. */
const WITHOUT_TUNE = readFileSync(new URL('../tunes/washline.txt', import.meta.url), 'utf8');

const panel = (page: Page) => page.locator('section.words-panel');
const lines = (page: Page) => page.locator('.line');
const word = (page: Page, text: string) => page.locator('.word-button').filter({ hasText: text }).first();
const chosen = (page: Page) => page.locator('[data-chosen="true"]');
const told = (page: Page) => panel(page).getByRole('status');
const openWords = (page: Page, nth = 0) => page.locator('.line-words').nth(nth).click();
const field = (page: Page) => panel(page).getByRole('textbox');

/** What stands on the lines, row by row. */
const wordsOf = (page: Page) => page.locator('.line > .sr-only').allTextContents();

async function expectInOrder(...parts: readonly Locator[]): Promise<void> {
  let bottom = -Infinity;
  for (const part of parts) {
    const box = await part.boundingBox();
    if (!box) throw new Error('not in sight');
    expect(box.y).toBeGreaterThanOrEqual(bottom - 1);
    bottom = box.y + box.height;
  }
}

test('two people change the words, chords and breaths of one line at once', async ({ page, browser }) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const before = await wordsOf(ben);
  expect(before[0]).toContain('Count the posts along the lane');
  await openWords(ann);
  await openWords(ben);
  await expect(chosen(ann)).toHaveAccessibleName('“Count”, bar 1, beat 1');

  // Ann moves a word; Ben, on the same line, corrects the next and puts a chord in.
  await word(ann, 'the').click();
  await panel(ann).getByRole('button', { name: 'Half a beat later' }).click();
  await expect(word(ben, 'the')).toHaveAccessibleName('“the”, bar 1, beat 2 and a half');
  await word(ben, 'posts').click();
  await field(ben).fill('stakes');
  await panel(ben).getByRole('button', { name: 'Keep' }).click();
  await expect(word(ann, 'stakes')).toHaveAccessibleName('“stakes”, bar 1, beat 3');
  await ben.getByRole('button', { name: 'no chord, bar 1, beat 3' }).click();
  await field(ben).fill('am7');
  await ben.keyboard.press('Enter');
  await expect(ann.getByRole('button', { name: 'Am7, bar 1, beat 3' })).toBeVisible();
  await expect(chosen(ann)).toHaveAccessibleName(/^“the”/);

  // A breath: the line is two lines for both, and Ben joins them again where Ann is at work.
  await word(ann, 'lane').click();
  await panel(ann)
    .getByRole('button', { name: /A breath after it/ })
    .click();
  await expect(lines(ben).first()).toContainText(/lane\s+Chords/);
  await expect(chosen(ann)).toHaveAccessibleName(/“lane”.*the line ends after it/);
  await expect(panel(ann)).toContainText('The line ends after it: the band said so.');
  await word(ben, 'lane').click();
  await panel(ben)
    .getByRole('button', { name: /No breath after it/ })
    .click();
  await expect(lines(ann).first()).toContainText('lane from');
  await expect(panel(ann)).toContainText('The line goes on after it: the band said so.');

  // What Ann is writing in a line below stays with her, focus and all, while Ben cuts the lines above anew.
  await lines(ann).filter({ hasText: 'third' }).locator('.line-words').click();
  await word(ann, 'third').click();
  await field(ann).fill('fourth');
  await panel(ben)
    .getByRole('button', { name: /A breath after it/ })
    .click();
  await expect(lines(ann).first()).toContainText(/lane\s+Chords/);
  await expect(field(ann)).toBeFocused();
  await expect(field(ann)).toHaveValue('fourth');
  await ann.keyboard.type('h');
  await expect(field(ann)).toHaveValue('fourthh');
  await ann.keyboard.press('Escape');
  await expect(chosen(ann)).toHaveAccessibleName(/^“third”/);
  await ben.keyboard.press('Control+z');
  await expect(lines(ann).first()).toContainText('lane from');

  // Each takes back their own and nothing else.
  await ann.keyboard.press('Control+z');
  await ann.keyboard.press('Control+z');
  await expect(word(ben, 'the')).toHaveAccessibleName('“the”, bar 1, beat 2');
  await expect(word(ben, 'stakes')).toBeVisible();
  await kept(ann);
  await kept(ben);
  await ann.reload();
  await kept(ann);
  expect(await wordsOf(ann)).toEqual(await wordsOf(ben));
  expect((await wordsOf(ann))[0]).toContain('Count the stakes along');
  await end();
});

test('by keyboard alone: words moved and written, chords checked, lines split, moved and joined', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  const before = await wordsOf(ann);
  await ann.keyboard.press('w');
  await expect(chosen(ann)).toBeFocused();
  await expectAccessible(ann);

  // From word to word, moved by halves of a beat, never past a neighbour.
  await ann.keyboard.press('ArrowRight');
  await expect(chosen(ann)).toHaveAccessibleName('“the”, bar 1, beat 2');
  await ann.keyboard.press('Shift+ArrowLeft');
  await expect(told(ann)).toHaveText('“the” is on bar 1, beat 1 and a half.');
  await expect(chosen(ann)).toBeFocused();
  await ann.keyboard.press('Shift+ArrowLeft');
  await expect(panel(ann).getByRole('alert')).toContainText('There is no room before it');
  await expect(chosen(ann)).toHaveAccessibleName('“the”, bar 1, beat 1 and a half');
  await ann.keyboard.press('Shift+ArrowRight');
  await expect(chosen(ann)).toHaveAccessibleName('“the”, bar 1, beat 2');

  // Written: Enter goes to the field and keeps; Escape leaves it as it was.
  await ann.keyboard.press('Enter');
  await expect(field(ann)).toBeFocused();
  await ann.keyboard.type('all');
  await ann.keyboard.press('Enter');
  await expect(chosen(ann)).toHaveAccessibleName('“all”, bar 1, beat 2');
  await expect(chosen(ann)).toBeFocused();
  await ann.keyboard.press('Enter');
  await ann.keyboard.type('nothing');
  await ann.keyboard.press('Escape');
  await expect(chosen(ann)).toBeFocused();
  await expect(chosen(ann)).toHaveAccessibleName('“all”, bar 1, beat 2');

  // A word too many is taken out, and the one before held through its time; a new one shares it again.
  await ann.keyboard.press('x');
  await expect(told(ann)).toHaveText('“all” is taken out.');
  await expect(chosen(ann)).toHaveAccessibleName('“Count”, bar 1, beat 1');
  await ann.keyboard.press('n');
  await expect(field(ann)).toBeFocused();
  await ann.keyboard.type('all');
  await ann.keyboard.press('Enter');
  await expect(chosen(ann)).toHaveAccessibleName('“all”, bar 1, beat 2');

  // Chords: a letter begins one; what cannot be read is kept and told; moved, and taken out.
  await ann.keyboard.press('c');
  await expect(chosen(ann)).toHaveAccessibleName('no chord, bar 1, beat 2');
  await ann.keyboard.press('e');
  await ann.keyboard.type('m');
  await ann.keyboard.press('Enter');
  await expect(chosen(ann)).toHaveAccessibleName('Em, bar 1, beat 2');
  await ann.keyboard.press('Enter');
  await ann.keyboard.type('H7');
  await ann.keyboard.press('Enter');
  await expect(panel(ann).getByRole('alert')).toContainText('“H7” cannot be read as a chord');
  await expect(chosen(ann)).toHaveAccessibleName('H7, not read as a chord, bar 1, beat 2');
  await ann.keyboard.press('Shift+ArrowRight');
  await expect(chosen(ann)).toHaveAccessibleName('H7, not read as a chord, bar 1, beat 3');
  await expect(chosen(ann)).toBeFocused();
  await ann.keyboard.press('Delete');
  await expect(chosen(ann)).toHaveAccessibleName('no chord, bar 1, beat 3');
  await expect(chosen(ann)).toBeFocused();

  // Breaths: split after a word, the end moved on by a syllable and back, then as it was found.
  await ann.keyboard.press('ArrowDown');
  await expect(chosen(ann)).toHaveAccessibleName('“posts”, bar 1, beat 3');
  const found = await wordsOf(ann);
  await ann.keyboard.press('b');
  await expect(lines(ann).first()).toContainText(/Count all posts\s+Chords/);
  await expect(told(ann)).toHaveText('A line ends after “posts”.');
  await ann.keyboard.press('>');
  await expect(told(ann)).toHaveText('The line ends after “a”.');
  await expect(lines(ann).first()).toContainText(/Count all posts a-?\s*Chords/);
  await ann.keyboard.press('<');
  await expect(told(ann)).toHaveText('The line ends after “posts”.');
  await expect(chosen(ann)).toBeFocused();
  await ann.keyboard.press('l');
  await expect(told(ann)).toHaveText(/“posts” is found from the song again/);
  expect(await wordsOf(ann)).toEqual(found);

  // Arrows go on into the next line; Escape gives the focus back to the line's own button.
  for (let i = 0; i < 14; i++) await ann.keyboard.press('ArrowRight');
  await expect(chosen(ann)).toHaveAccessibleName(/bar 5/);
  await ann.keyboard.press('Escape');
  await expect(panel(ann)).toHaveCount(0);
  await expect(ann.locator('.line-words:focus')).toHaveAccessibleName(/third one leans|Ev-?ery/);

  // All of it is taken back, step by step.
  const undo = ann.getByRole('button', { name: /^Undo/ });
  for (let i = 0; i < 20 && (await undo.isEnabled()); i++) await ann.keyboard.press('Control+z');
  await expect.poll(() => wordsOf(ann)).toEqual(before);
  await end();
});

test('on a phone, by touch: the words stay in sight and nothing is wider than the page', async ({
  browser,
  page,
  baseURL,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  const phone = await browser.newContext({
    viewport: { width: 390, height: 844 },
    hasTouch: true,
    storageState: await ann.context().storageState(),
    ...(baseURL === undefined ? {} : { baseURL }),
  });
  const hand = await phone.newPage();
  await hand.goto(ann.url());
  await kept(hand);
  const pencil = hand.locator('.line-words').first();
  const reach = await pencil.boundingBox();
  expect(Math.min(reach?.width ?? 0, reach?.height ?? 0)).toBeGreaterThanOrEqual(39);
  await pencil.tap();
  await word(hand, 'posts').tap();
  await panel(hand).getByRole('button', { name: 'Half a beat later' }).tap();
  await expect(chosen(hand)).toHaveAccessibleName('“posts”, bar 1, beat 3 and a half');
  await expectInOrder(word(hand, 'Count'), panel(hand));
  await expect(word(hand, 'Count')).toBeInViewport();
  await expect(panel(hand).getByRole('button', { name: 'Half a beat later' })).toBeInViewport();
  await hand.getByRole('button', { name: 'no chord, bar 2, beat 3' }).tap();
  await field(hand).tap();
  await field(hand).fill('D7/F#');
  await panel(hand).getByRole('button', { name: 'Keep' }).tap();
  await expect(hand.getByRole('button', { name: 'D7/F#, bar 2, beat 3' })).toBeVisible();
  await expectAccessible(hand);
  expect(
    await hand.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
  ).toBeLessThanOrEqual(0);
  await panel(hand).getByRole('button', { name: 'Close' }).tap();
  await expect(panel(hand)).toHaveCount(0);
  await kept(hand);
  await expect(ann.locator('.chord').filter({ hasText: 'D7/F' })).toBeVisible();
  await phone.close();
  await end();
});

test('where no tune is written, the lowest and highest notes are asked for by name', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser, WITHOUT_TUNE);
  await expect(ann.getByText(/The tune is not written, so nobody knows yet/)).toBeVisible();
  await ann.keyboard.press('r');
  await expect(ann.getByLabel('Lowest note')).toBeFocused();
  await ann.keyboard.type('D');
  await ann.keyboard.press('Tab');
  await ann.keyboard.type('e4');
  await ann.keyboard.press('Enter');
  await expect(ann.getByRole('alert').filter({ hasText: 'its octave' })).toBeVisible();
  await ann.getByLabel('Lowest note').fill('d5');
  await ann.keyboard.press('Enter');
  await expect(ann.getByText(/D5 stands above E4/)).toBeVisible();
  await ann.getByLabel('Lowest note').fill('D3');
  await expectAccessible(ann);
  await ann.keyboard.press('Enter');
  await expect(ben.getByText(/sings it from D3 to E4/)).toBeVisible();
  // It is the song that goes from D to E, so it is moved with the song.
  await ben.keyboard.press('s');
  await ben.getByLabel('Sounds in').selectOption('2');
  await expect(ann.getByText(/sings it from E3 to F#4/)).toBeVisible();

  // A tab stop leads to the words of each line, for who uses no single keys.
  await tabTo(ann, async () =>
    ann.evaluate(() => document.activeElement?.classList.contains('line-words') ?? false),
  );
  await ann.keyboard.press('Enter');
  await expect(chosen(ann)).toBeFocused();
  await ann.keyboard.press('Shift+ArrowRight');
  await expect(told(ann)).toHaveText(/ is on bar \d+, beat/);

  // One stanza alone: the same words of the other verses stay where they are sung.
  const verse = (nth: number) => ann.getByRole('region', { name: `Verse ${nth}` });
  const second = await verse(2).locator('.syllable').first().getAttribute('style');
  await verse(1).locator('.line-words').first().click();
  const place = await chosen(ann).getAttribute('aria-label');
  await ann.keyboard.press('i');
  await ann.keyboard.press('Shift+ArrowRight');
  await expect(told(ann)).toHaveText(/ in stanza 1\.$/);
  await expect(chosen(ann)).not.toHaveAccessibleName(place ?? '');
  await expect(chosen(ann)).toBeFocused();
  expect(await verse(2).locator('.syllable').first().getAttribute('style')).toBe(second);
  await ann.keyboard.press('Control+z');
  await expect(chosen(ann)).toHaveAccessibleName(place ?? '');
  await end();
});

/** A tune of ours in two voices. */
const TWO_VOICES = `X:1
T:Two Rails
M:4/4
L:1/4
Q:1/4=90
K:G
V:1 name="Lead"
V:2 name="Tenor"
[V:1] "G"G A B c | d2 z2 | "C"c B A B | "G"G2 z2 |
w: Down by the old mill, up on the hill.
[V:2] B c d e | f2 z2 | e d c d | B2 z2 |
w: Round by the new mill, out to the top.
`;

test('the words of another voice are changed as those of the top one, by key and by touch', async ({
  page,
}) => {
  await madeBand(page, 'Two Rails');
  await pasted(page, TWO_VOICES);

  await openWords(page);
  await expect(chosen(page)).toHaveAccessibleName('“Down”, bar 1, beat 1');
  await expect(chosen(page)).toBeFocused();
  await page.keyboard.press('v');
  await expect(chosen(page)).toHaveAccessibleName('“Round”, Tenor, bar 1, beat 1');
  await expect(panel(page).getByRole('heading')).toContainText('Tenor');
  await expectAccessible(page);

  // By key: along the tenor's words; one is written anew, one moved, a breath put in.
  await page.keyboard.press('ArrowRight');
  await expect(chosen(page)).toHaveAccessibleName(/“by”, Tenor, bar 1, beat 2/);
  await page.keyboard.press('Enter');
  await field(page).fill('past');
  await page.keyboard.press('Enter');
  await expect(chosen(page)).toHaveAccessibleName(/“past”, Tenor, bar 1, beat 2/);
  await page.keyboard.press('Shift+ArrowRight');
  await expect(chosen(page)).toHaveAccessibleName(/“past”, Tenor, bar 1, beat 2 and a half/);
  await expect(told(page)).toContainText('“past” is on bar 1, beat 2 and a half');
  await page.keyboard.press('b');
  await expect(panel(page)).toContainText('The line ends after it: the band said so.');

  // By touch: back to the lead, whose words are as they were.
  await panel(page).getByRole('button', { name: 'What Lead sings' }).click();
  await expect(word(page, 'by')).toHaveAccessibleName('“by”, bar 1, beat 2');
  await expect(word(page, 'past')).toHaveCount(0);
  await panel(page).getByRole('button', { name: 'What Tenor sings' }).click();
  await word(page, 'new').click();
  await panel(page).getByRole('button', { name: 'Take the word out' }).click();
  await expect(word(page, 'new')).toHaveCount(0);

  // What was done is kept; another line begins with the lead again.
  await kept(page);
  await page.reload();
  await kept(page);
  await openWords(page);
  await expect(chosen(page)).toBeFocused();
  await page.keyboard.press('v');
  await expect(word(page, 'past')).toHaveAccessibleName(/“past”, Tenor, bar 1, beat 2 and a half/);
  await page.keyboard.press('Escape');
  await openWords(page, 1);
  await expect(chosen(page)).not.toHaveAccessibleName(/Tenor/);
});
