import { readFile } from 'node:fs/promises';
import { expect, type Page, test } from '@playwright/test';
import { kept, settleFirst, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** ISO 216 and ANSI/ASME Y14.1, from memory: A4 is 210 × 297 mm, Letter 8.5 × 11 in; in points of 1/72 in. */
const SHEETS = { A4: [595.3, 841.9], Letter: [612, 792] } as const;

/** Width and height of each page of a PDF in points, read from its page boxes. */
function sheetsOf(pdf: Buffer): readonly (readonly [number, number])[] {
  const boxes = pdf.toString('latin1').matchAll(/\/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]/g);
  return [...boxes].map((box) => [Number(box[1]), Number(box[2])] as const);
}

/** Texts on a part that run over its right edge. */
const overEdge = (page: Page) =>
  page.evaluate(() => {
    const part = document.querySelector('.part');
    if (!part) return ['no part'];
    const edge = part.getBoundingClientRect().right;
    return [...part.querySelectorAll('.syllable, .chord, .holder, p, li, svg text')]
      .filter((element) => element.getBoundingClientRect().right > edge + 1)
      .map((element) => element.textContent);
  });

test("the guitarist's and the banjo player's parts print with order, words, chords, cues and strokes", async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await spaces(ann).nth(0).click();
  await settleFirst(ann, 'Ben');
  await ann.keyboard.press('Escape');
  // The singer's own last space, after the words are over.
  await spaces(ann).last().click();
  await settleFirst(ann, 'Ann');
  await kept(ann);

  for (const [who, others] of [
    [ann, 'guitar'],
    [ben, 'banjo'],
  ] as const) {
    await who.keyboard.press('Escape');
    await who.getByRole('link', { name: /Your part/ }).click();
    await who.waitForURL(/\/part\//);
    await kept(who);
    const part = who.locator('main.part');
    await expect(part.locator('header')).toContainText(others);
    await expect(part.getByRole('region', { name: 'Order of the song' })).toContainText('Verse');
    await expect(part).toContainText('Fence Posts');
    await expect(part.locator('.part-own li')).toHaveText(
      /^After “.+”(, before “.+”)?: bars? .+(: as written)\. .+\.$/,
    );
    // Strokes stand over the fill: SMuFL down-bow or up-bow for the pick, letters for the fingers.
    const signs = [...(await part.locator('svg text').allTextContents()).join('')];
    const strokes = others === 'guitar' ? /[\u{E610}\u{E612}]/u : /^[TIM]$/;
    expect(signs.filter((sign) => strokes.test(sign)).length).toBeGreaterThan(0);
    expect(signs.filter((sign) => /^\d+$/.test(sign)).length).toBeGreaterThan(2);

    await who.emulateMedia({ media: 'print' });
    expect(await overEdge(who)).toEqual([]);
    await expect(who.getByRole('button', { name: /Print/ })).toBeHidden();
    await who.emulateMedia({ media: 'screen' });
    for (const paper of ['A4', 'Letter'] as const) {
      await who.getByLabel(paper, { exact: true }).check();
      const sheets = sheetsOf(await who.pdf({ preferCSSPageSize: true }));
      expect(sheets.length).toBeGreaterThan(0);
      for (const [width, height] of sheets) {
        expect(Math.abs(width - SHEETS[paper][0])).toBeLessThan(1.5);
        expect(Math.abs(height - SHEETS[paper][1])).toBeLessThan(1.5);
      }
    }
    // Read from two metres: words of 14 pt at the least, chords larger than words.
    const sizes = await part.evaluate((element) => {
      const size = (selector: string) => {
        const found = element.querySelector(selector);
        return found ? Number.parseFloat(getComputedStyle(found).fontSize) : 0;
      };
      return { words: size('.syllable'), chords: size('.chord') };
    });
    expect(sizes.words).toBeGreaterThanOrEqual((14 * 96) / 72 - 0.1);
    expect(sizes.chords).toBeGreaterThan(sizes.words);
  }
  await end();
});

test('a part is taken along as a PDF, and its song as files, with what each leaves out', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  await kept(ann);
  await ann.getByRole('link', { name: /Your part/ }).click();
  await ann.waitForURL(/\/part\//);
  await ann.getByLabel('Letter', { exact: true }).check();
  await ann.getByLabel('one page', { exact: true }).check();
  const coming = ann.waitForEvent('download');
  await ann.getByRole('link', { name: 'Take it along as a PDF' }).click();
  const download = await coming;
  expect(download.suggestedFilename()).toMatch(/^.+ - .+\.pdf$/);
  const pdf = await readFile(await download.path());
  const [first] = sheetsOf(pdf);
  expect(first?.[0]).toBeCloseTo(SHEETS.Letter[0], 0);
  expect(first?.[1]).toBeCloseTo(SHEETS.Letter[1], 0);

  await ann.getByText('Take the song out as a file').click();
  const files = ann
    .locator('.take-along details')
    .filter({ hasText: 'Take the song out' })
    .getByRole('listitem');
  await expect(files).toHaveCount(6);
  await expect(files.filter({ hasText: 'band file' })).toContainText('holds all of it');
  const file = ann.waitForEvent('download');
  await files.getByRole('link', { name: 'MIDI' }).click();
  const midi = await readFile(await (await file).path());
  // Source: Standard MIDI Files 1.0, the header chunk; from memory.
  expect(midi.subarray(0, 4).toString('latin1')).toBe('MThd');
  await end();
});

test('chords go by number where a player wishes, and sheets go to who sits in and who learns', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  await spaces(ann).last().click();
  await settleFirst(ann, 'Ann');
  await kept(ann);
  await ann.keyboard.press('Escape');
  await ann.getByRole('link', { name: /Your part/ }).click();
  await ann.waitForURL(/\/part\//);
  await kept(ann);
  const chords = ann.locator('main.part .chord');
  await expect(chords.first()).toHaveText(/^[A-G]/);
  await ann.getByLabel('by number', { exact: true }).check();
  await expect(chords.first()).toHaveText(/^[♭♯]?[1-7]/);
  await expect(ann.locator('.part-head')).toContainText('Numbers in');

  for (const [summary, link, name] of [
    ['For somebody who sits in', /^new on guitar/, /crib, new on guitar\.pdf$/],
    ['For a student', /^the fill at bar/, /to practise\.pdf$/],
  ] as const) {
    await ann.getByText(summary, { exact: true }).click();
    const coming = ann.waitForEvent('download');
    await ann.getByRole('link', { name: link }).click();
    expect((await coming).suggestedFilename()).toMatch(name);
  }
  await expectAccessible(ann);
  await end();
});

test('an evening book is made while one watches, and taken along', async ({ page }) => {
  await page.goto('/');
  await page.getByRole('button', { name: /demo band/ }).click();
  await page
    .getByRole('button', { name: /^I am / })
    .first()
    .click();
  const set = await page.locator('a[href*="/set/"]').first().getAttribute('href');
  await page.goto((set ?? '').replace('/set/', '/book/'));
  await page.getByLabel('everybody, one file each').check();
  await page.getByRole('button', { name: 'Make the book' }).click();
  await expect(page.getByRole('status')).toContainText('The book is ready', { timeout: 60_000 });
  const coming = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Take it along' }).click();
  const download = await coming;
  expect(download.suggestedFilename()).toMatch(/\.zip$/);
  const bytes = await readFile(await download.path());
  // Source: PKWARE's APPNOTE, the signature of a local file header; from memory.
  expect(bytes.subarray(0, 4).toString('latin1')).toBe('PK\u0003\u0004');
});
