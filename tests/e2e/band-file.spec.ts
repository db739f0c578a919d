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

test('songs and a set list of a band file come into another band, whose they are there is said, and nothing of its own is changed', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await spaces(ben).nth(1).click();
  await ben.keyboard.press('a');
  await expect(spaces(ben).nth(1)).toHaveAccessibleName(/Ben, ad lib|ad lib: Ben|Ben has it/);
  await kept(ben);
  const name = await spaces(ben).nth(1).getAttribute('aria-label');
  const band = new URL(ann.url()).pathname.replace(/\/song\/.*$/, '');
  await ann.goto(band);
  await kept(ann);
  const [download] = await Promise.all([ann.waitForEvent('download'), ann.keyboard.press('g')]);
  // Another band's file: its people have ids of their own, one of them is called as one of ours, and it has a set.
  const own = readFileSync(await download.path(), 'utf8');
  const [annId, benId] = JSON.parse(own).band.players.map(({ id }: { id: string }) => id);
  const file = JSON.parse(own.replaceAll(annId, 'their-zed').replaceAll(benId, 'their-ben'));
  Object.assign(file.band, { id: 'elm', name: 'Elm Street' });
  file.band.players[0].name = 'Zed';
  const [{ id: songId }] = file.songs;
  const entry = {
    songId,
    id: 'their-entry',
    note: 'quick',
    talkSeconds: 0,
    linkBars: null,
    breakAfter: false,
  };
  file.band.sets = [
    {
      id: 'their-set',
      name: 'Elm Fair',
      targetSeconds: null,
      pairs: [],
      entries: [{ ...entry, hold: null }],
    },
  ];

  await ann.goto(`${band}/bring-in`);
  const choose = (text: string) =>
    ann
      .getByLabel('Song files')
      .setInputFiles({ name: 'elm.breathmark.json', mimeType: '', buffer: Buffer.from(text) });
  await expect(ann.getByRole('button', { name: /Choose files/ })).toBeEnabled();
  for (const [text, what] of [
    [JSON.stringify(file).slice(0, -9), /This is not JSON/],
    [JSON.stringify({ ...file, version: 99 }), /version 99/],
  ] as const) {
    await choose(text);
    const notice = ann.getByRole('alert').filter({ hasText: what });
    await expect(notice).toContainText('elm.breathmark.json');
    await expect(notice).toContainText('Nothing was brought in');
    await ann.keyboard.press('x');
  }
  await choose(JSON.stringify(file));
  await expect(ann.getByRole('heading', { name: 'From “Elm Street”' })).toBeVisible();
  await expect(ann.getByText('the band has a song of this title')).toBeVisible();
  await expect(ann.getByLabel(/^Ben of the file/)).toHaveValue(benId);
  await ann.getByLabel(/^Elm Fair/).check();
  await expectAccessible(ann);
  await ann.keyboard.press('Control+Enter');
  await expect(
    ann.getByRole('status').filter({ hasText: 'One song is the band’s now, and the set list.' }),
  ).toBeVisible();
  await expectAccessible(ann);
  await ann.keyboard.press('Control+Enter');
  await expect(ann.getByRole('link', { name: /Fence Posts/ })).toHaveCount(2);
  await ann.getByRole('link', { name: 'Elm Fair' }).click();
  await expect(ann.getByRole('heading', { level: 1, name: 'Elm Fair' })).toBeVisible();
  await ann.getByRole('link', { name: 'Fence Posts' }).click();
  await kept(ann);
  expect(new URL(ann.url()).pathname).not.toBe(new URL(ben.url()).pathname);
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(name ?? '');
  // The band's own is as it was.
  await expect(spaces(ben).nth(1)).toHaveAccessibleName(name ?? '');
  await end();
});
