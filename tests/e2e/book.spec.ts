import { expect, type Page, test } from '@playwright/test';
import { intoDemo, kept } from './band-at-work';
import { expectAccessible } from './reading-aloud';

/** The demo band's evening, opened by one of its players; gives the address of its set. */
async function demoSet(page: Page): Promise<string> {
  await intoDemo(page);
  const address = await page.getByRole('link', { name: /Grange hall/ }).getAttribute('href');
  return address ?? '';
}

const ready = (page: Page) =>
  expect(page.getByRole('status').filter({ hasText: 'The book is ready' })).toBeVisible({ timeout: 60_000 });

test('a book is printed by keys; once a song changes, its part is marked and alone printed again', async ({
  page,
}) => {
  const set = await demoSet(page);
  const book = set.replace('/set/', '/book/');
  await page.goto(book);
  // A key struck before the page has its evening would go nowhere.
  await expect(page.getByLabel('everybody, one file each')).toBeVisible();
  await page.keyboard.press('b');
  await ready(page);
  const first = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Take it along' }).click();
  expect((await first).suggestedFilename()).toMatch(/^Grange hall supper, Saturday - .+\.pdf$/);
  const since = page.getByRole('region', { name: 'Since it was printed' });
  await expect(since).toContainText('the paper still holds', { timeout: 60_000 });
  await expectAccessible(page);

  await page.goto(set);
  await kept(page);
  const note = page.getByLabel(/^Note for/).first();
  await note.fill('lights down before the last chorus');
  await page.keyboard.press('Enter');
  await kept(page);
  await page.goto(book);
  // The note stands on the song's own part and on the set list.
  await expect(since).toContainText('2 of 4 parts have changed since', { timeout: 60_000 });
  await expect(since.getByRole('listitem')).toHaveText(['set list', /^1\. /]);
  await expectAccessible(page);
  await page.keyboard.press('p');
  await ready(page);
  const second = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Take it along' }).click();
  await second;
  await expect(since).toContainText('the paper still holds', { timeout: 60_000 });
});

test('books for everybody come as one archive, and making them can be stopped', async ({ page }) => {
  await page.goto((await demoSet(page)).replace('/set/', '/book/'));
  await page.getByLabel('everybody, one file each').check();
  await page.keyboard.press('b');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('status').filter({ hasText: /Stopped|ready/ })).toBeVisible({
    timeout: 60_000,
  });
  await page.getByLabel('Letter').check();
  await page.keyboard.press('b');
  await ready(page);
  const file = page.waitForEvent('download');
  await page.getByRole('link', { name: 'Take it along' }).click();
  expect((await file).suggestedFilename()).toBe('Grange hall supper, Saturday.zip');
});
