import { readFileSync } from 'node:fs';
import { expect, test } from '@playwright/test';
import { kept, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

test('a whole band is taken along as one file, and made anew from it with all that was settled', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser);
  await spaces(ann).nth(0).click();
  await ann.keyboard.press('o');
  await ann.keyboard.press('Escape');
  await expect(spaces(ann).nth(0)).toHaveAccessibleName(/left open/);
  await kept(ann);
  await ann.goto(ann.url().replace(/\/song\/.*$/, ''));
  await kept(ann);
  const link = ann.getByRole('link', { name: 'Take the whole band along as a file' });
  await expect(link).toBeVisible();
  await expectAccessible(ann);
  const [download] = await Promise.all([ann.waitForEvent('download'), ann.keyboard.press('g')]);
  expect(download.suggestedFilename()).toBe('Weir Street.breathmark.json');
  const path = await download.path();
  const file = JSON.parse(readFileSync(path, 'utf8'));
  expect(file).toMatchObject({ format: 'breathmark band file', version: 1, band: { name: 'Weir Street' } });
  // No way into the band is in it.
  expect(readFileSync(path, 'utf8')).not.toMatch(/\/enter#/);

  // Somebody else, on a device that has never seen the band.
  const context = await browser.newContext();
  const other = await context.newPage();
  await other.goto('/');
  const chooser = other.getByLabel('Band file');
  const choose = (name: string, text: string) =>
    chooser.setInputFiles({ name, mimeType: 'application/json', buffer: Buffer.from(text) });
  await expect(other.getByRole('button', { name: /Choose a band file/ })).toBeEnabled();
  const notice = other.getByRole('alert');
  const whole = readFileSync(path, 'utf8');
  for (const [text, what] of [
    [whole.slice(0, -30), /it is not JSON/],
    ['{"format": "another"}', /no band file/],
    [JSON.stringify({ ...file, songs: [] }), /names "Fence Posts", which the file does not hold/],
  ] as const) {
    await choose('torn.breathmark.json', text);
    await expect(notice.filter({ hasText: what })).toContainText('No band was made');
    await expect(notice.filter({ hasText: what })).toContainText('torn.breathmark.json');
  }
  await expectAccessible(other);
  await choose('Weir Street.breathmark.json', whole);
  await expect(other.getByText('Weir Street is there')).toBeVisible();
  await expect(other.getByRole('textbox', { name: 'For players' })).toHaveValue(/\/enter#/);
  await expect(notice.filter({ hasText: /./ })).toHaveCount(0);
  await other.getByRole('link', { name: /Go to the band/ }).click();
  await other.getByRole('button', { name: 'I am Ben' }).click();
  await expect(other.getByText('You are Ben')).toBeVisible();
  await other.getByRole('link', { name: /Fence Posts/ }).click();
  await kept(other);
  await expect(spaces(other).nth(0)).toHaveAccessibleName(/left open/);
  await context.close();
  await end();
});
