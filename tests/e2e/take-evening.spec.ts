import { type BrowserContext, expect, type Page, test } from '@playwright/test';
import { kept, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';
import { seedSongs } from './seeded';

const tune = (title: string) => `X:1
T:${title}
M:4/4
L:1/4
Q:1/4=120
K:G
"G" z4 | z4 | z4 | z4 | z4 | z4 | z2 G z | G4 |]
w: oh now
`;

/** Names of what a device holds of songs: pages by their path, documents by their database. */
const songsHeld = (page: Page) =>
  page.evaluate(async () => {
    const names = (await caches.keys()).filter((name) => name.startsWith('breathmark band '));
    const pages = await Promise.all(
      names.map(async (name) => (await (await caches.open(name)).keys()).map(({ url }) => url)),
    );
    const databases = (await indexedDB.databases()).map(({ name }) => name ?? '');
    return [...pages.flat(), ...databases].filter((name) => /\/song\/|song\./.test(name));
  });

/** Without a network, a page that was never opened here shows what it is of. */
async function opensAlone(context: BrowserContext, path: string, title: string): Promise<Page> {
  const page = await context.newPage();
  await page.goto(path);
  await expect(page.getByText(title).first()).toBeVisible();
  await expect(page.locator('[data-state="offline"]')).toBeVisible();
  return page;
}

test('a listener takes the evening along, plays it without a network, finds it renewed, and takes it off', async ({
  page,
  browser,
}) => {
  const { ann, end } = await twoOnABoard(page, browser, tune('Anvil'));
  const band = new URL(ann.url()).pathname.replace(/\/song\/.*/, '');
  await seedSongs(ann, band.split('/')[2] ?? '', [tune('Dairy'), tune('Gate')]);
  await ann.goto(band);
  await kept(ann);
  await ann.getByRole('button', { name: 'New link for a listener' }).click();
  const forListener = await ann.getByRole('textbox', { name: 'For listeners' }).inputValue();
  await ann.getByRole('button', { name: 'Make a set list' }).click();
  await ann.getByLabel('Name of the set').fill('Saturday');
  await ann.keyboard.press('Enter');
  for (const title of ['Anvil', 'Dairy', 'Gate'])
    await ann.getByRole('button', { name: `Add ${title}` }).click();
  await kept(ann);

  const context = await browser.newContext();
  const lea = await context.newPage();
  await lea.goto(forListener);
  await expect(lea.locator('[data-state="kept"]')).toBeVisible();
  await lea.goto(ann.url());
  await expect(lea.getByText('For a hall without a network')).toBeVisible();
  await expect(lea.getByLabel('Ann', { exact: true })).toBeChecked();
  await lea.keyboard.press('t');
  await expect(lea.locator('[data-evening="whole"]')).toContainText(
    /On this device since .*: the set list, 3 songs, and the parts and stand pages of Ann and Ben/,
    { timeout: 20_000 },
  );
  await expect(lea.getByText(/The browser has (not )?promised|does not say whether/)).toBeVisible();
  await expectAccessible(lea);

  // The hall: two songs and one on the stand, none of them opened before, and the set list itself.
  const links = lea.getByRole('list', { name: 'The songs in order' }).locator('a[data-song]');
  const [, dairy, gate] = await links.evaluateAll((all) => all.map((one) => one.getAttribute('href') ?? ''));
  await lea.getByText('What is here, to open').click();
  const stand = await lea.getByRole('link', { name: 'Gate: Ann on the stand' }).getAttribute('href');
  await context.setOffline(true);
  for (const [path, title] of [
    [dairy, 'Dairy'],
    [gate, 'Gate'],
    [stand, 'Gate'],
  ] as const)
    await (await opensAlone(context, path ?? '', title)).close();
  await lea.reload();
  await expect(lea.locator('[data-evening="whole"]')).toBeVisible();
  await expect(links).toHaveCount(3);

  // Meanwhile a song of it is changed; with the network back it is renewed by itself, and that is told.
  await ann.goto(dairy ?? '');
  await kept(ann);
  await ann.keyboard.press('s');
  await ann.getByLabel('Quarter notes a minute').fill('60');
  await ann.getByRole('button', { name: 'Keep', exact: true }).click();
  await kept(ann);
  await context.setOffline(false);
  await expect(lea.locator('[data-evening="whole"]')).toContainText(/renewed here: Dairy.*60/s, {
    timeout: 20_000,
  });
  expect((await songsHeld(lea)).length).toBeGreaterThan(12);
  await lea.keyboard.press('x');
  await expect(lea.getByText('The evening is off this device.')).toBeVisible();
  await expect.poll(() => songsHeld(lea)).toEqual([]);
  await context.close();
  await end();
});
