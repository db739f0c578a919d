import { join } from 'node:path';
import { expect, type Page, test } from '@playwright/test';

const TUNES = join(import.meta.dirname, '../tunes');

async function makeBand(page: Page, name: string): Promise<void> {
  await page.goto('/');
  await page.getByLabel('Name of the band').fill(name);
  await page.getByLabel('Your name').fill('Edith');
  await page.getByRole('button', { name: /Make the band/ }).click();
  await page.getByRole('link', { name: /Go to the band/ }).click();
}

async function bringIn(page: Page, file: string) {
  await page.getByLabel('Song file').setInputFiles(join(TUNES, file));
  return page.getByRole('region', { name: 'What was read' });
}

test('a song comes in as text with chords, as a score, and as MIDI with its voice chosen', async ({
  page,
}) => {
  await makeBand(page, 'Files of All Kinds');
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
