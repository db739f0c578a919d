import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, type Page, test } from '@playwright/test';
import { madeBand } from './band-at-work';

const TUNES = join(import.meta.dirname, '../tunes');

async function bringIn(page: Page, file: string) {
  await page.getByLabel('Song file').setInputFiles(join(TUNES, file));
  return page.getByRole('region', { name: 'What was read' });
}

test('a song comes in as text with chords, as a score, and as MIDI with its voice chosen', async ({
  page,
}) => {
  await madeBand(page, 'Files of All Kinds');
  await page.getByRole('link', { name: /Bring in a song/ }).click();

  const text = await bringIn(page, 'washline.txt');
  await expect(page.getByLabel('Title')).toHaveValue('The Washing Line');
  await expect(text).toContainText('each chord was taken as one bar');
  await expect(page.getByLabel(/Paste the tune/)).toHaveValue(/Hang the washing/);

  const score = await bringIn(page, 'mill-race.musicxml');
  await expect(page.getByLabel('Title')).toHaveValue('Mill Race');
  await expect(score).toContainText('bar 6');

  await bringIn(page, 'ladder-song.mid');
  await expect(page.getByLabel('Title')).toHaveValue('Ladder Song');
  await page.getByLabel(/holds 2 voices/).selectOption({ label: 'track 2, "Guitar"' });
  await expect(page.getByRole('region', { name: 'What was read' })).toContainText(
    '"Voice", which is not the melody',
  );
  await page.getByLabel(/holds 2 voices/).selectOption({ label: 'track 3, "Voice"' });
  await page.getByRole('button', { name: /Bring it in/ }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('Ladder Song');
});

test('several files are read one after another, and those that could be read brought in together', async ({
  page,
}) => {
  await madeBand(page, 'Many Files');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  const tune = (name: string) => ({ name, mimeType: '', buffer: readFileSync(join(TUNES, name)) });
  await page
    .getByLabel('Song files')
    .setInputFiles([
      tune('pickup.abc'),
      { name: 'broken.musicxml', mimeType: 'text/xml', buffer: Buffer.from('<score-partwise>') },
      tune('mill-race.musicxml'),
      tune('hay-loft.mid'),
    ]);
  const status = page.getByRole('status').filter({ hasText: 'can be brought in' });
  await expect(status).toContainText('3 can be brought in. 1 could not be taken');
  await expect(page.getByRole('heading', { name: '4 files' })).toBeVisible();
  await page.getByText('Mill Race (mill-race.musicxml)').click();
  await expect(page.getByText('In G major, 4/4, 104 quarter notes a minute')).toBeVisible();
  await page.getByRole('button', { name: 'Bring in all 3' }).click();
  await expect(page.getByRole('status').filter({ hasText: '3 are the band' })).toBeVisible();
  await page.getByRole('link', { name: 'Hay Loft' }).click();
  await expect(page.getByRole('heading', { name: 'Hay Loft' })).toBeVisible();
});
