import { expect, type Page, test } from '@playwright/test';
import { detail, hasFocus, ideas, intoDemo, kept, spaces, TUNE, tabTo, twoOnABoard } from './band-at-work';
import { accessibleInBoth } from './reading-aloud';

async function expectNoSideways(page: Page): Promise<void> {
  const beyond = await page.evaluate(
    () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
  );
  expect(beyond).toBeLessThanOrEqual(0);
}

test('two people on one board: ideas are read, one settled, and seen by the other at once', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const first = spaces(ann).first();
  await expect(first).toHaveAccessibleName(/beats, \d+\.\d seconds; unclaimed/);
  await first.click();
  await expect(first).toHaveAttribute('aria-expanded', 'true');

  // Ann sings the song; Ben, who came in by the link, is free, and each says why or why not.
  const who = detail(ann);
  await expect(who.getByRole('button', { name: /Ben can/ })).toBeVisible();
  await expect(who.getByText(/^Ann can/)).toBeVisible();
  await who.getByRole('button', { name: /Ben can/ }).click();
  await expect.poll(() => ideas(ann).count()).toBeGreaterThanOrEqual(3);
  const titles = await ideas(ann).locator('.idea-title').allTextContents();
  expect(new Set(titles).size).toBe(titles.length);
  for (const idea of await ideas(ann).all()) {
    await expect(idea.getByRole('img', { name: /^Tablature: string \d/ })).toBeVisible();
    await expect(idea.locator('.aside')).toHaveText(/\w+ \w+ \w+/);
  }

  // What is settled elsewhere leaves the ideas that somebody reads as they are.
  await ideas(ann)
    .first()
    .evaluate((idea) => idea.setAttribute('data-read', ''));
  await spaces(ben).nth(1).click();
  await ben.keyboard.press('o');
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(/left open/);
  await expect(ideas(ann).first()).toHaveAttribute('data-read');
  await ben.keyboard.press('Control+z');
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(/unclaimed/);
  await expect(ideas(ann).first()).toHaveAttribute('data-read');
  await ben.keyboard.press('Escape');
  // So does a chord that is written far from it.
  await ben.getByRole('button', { name: /^Change the words and chords: Still they lean/ }).click();
  await ben.getByRole('button', { name: 'C, bar 13, beat 1' }).click();
  await ben.locator('.words-panel input').first().fill('Am7');
  await ben.keyboard.press('Enter');
  await expect(ann.locator('.chord').filter({ hasText: 'Am7' })).toBeVisible();
  await expect(ideas(ann).first()).toHaveAttribute('data-read');
  await ben.keyboard.press('Control+z');
  await expect(ann.locator('.chord').filter({ hasText: 'Am7' })).toHaveCount(0);
  await ben.keyboard.press('Escape');

  // Presence: Ben sees that Ann touches this space.
  await expect(ben.locator('.peers')).toHaveText(/^an/i);
  await expect(spaces(ben).first()).toHaveAccessibleName(/; Ann is here$/);

  await ann.keyboard.press('1');
  await expect(first).toHaveAccessibleName(/Ben has a fill/);
  await expect(spaces(ben).first()).toHaveAccessibleName(/Ben has a fill/);
  await expect(ben.locator('.holder').first()).toHaveText(/^be/i);
  await kept(ann);

  // Only one's own edits are taken back.
  await expect(ben.getByRole('button', { name: /^Undo/ })).toBeDisabled();
  await ann.keyboard.press('Control+z');
  await expect(spaces(ben).first()).toHaveAccessibleName(/unclaimed/);

  await ann.keyboard.press('o');
  await expect(spaces(ben).first()).toHaveAccessibleName(/left open/);
  await ann.keyboard.press('a');
  await expect(spaces(ben).first()).toHaveAccessibleName(/Ben, ad lib/);
  await kept(ann);
  await ben.reload();
  await expect(spaces(ben).first()).toHaveAccessibleName(/Ben, ad lib/);
  await end();
});

test('from a new band to a settled space by keyboard alone', async ({ page }) => {
  await page.goto('/');
  await tabTo(page, hasFocus(page, 'input'));
  await page.keyboard.type('Keys Only');
  await page.keyboard.press('Tab');
  await page.keyboard.type('Cal');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('link', { name: /Go to the band/ })).toBeVisible();
  await page.keyboard.press('g');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Keys Only');
  await kept(page);
  await tabTo(page, () =>
    page.evaluate(() => document.activeElement?.textContent?.endsWith('Change Cal') ?? false),
  );
  await page.keyboard.press('Enter');
  await tabTo(page, () =>
    page.evaluate(() => document.activeElement?.closest('label')?.textContent === 'guitar'),
  );
  await page.keyboard.press('Space');
  await page.keyboard.press('Enter');
  await expect(page.getByText('guitar', { exact: false }).first()).toBeVisible();
  await kept(page);
  await page.keyboard.press('b');
  await expect(page.getByLabel(/Paste the tune/)).toBeVisible();
  await tabTo(page, hasFocus(page, 'textarea'));
  await page.keyboard.insertText(TUNE);
  await page.keyboard.press('Control+Enter');
  await expect(page.getByRole('region', { name: 'What was read' })).toBeVisible();
  await page.keyboard.press('Control+Enter');
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  await page.keyboard.press('ArrowDown');
  await expect(spaces(page).first()).toBeFocused();
  await page.keyboard.press('ArrowDown');
  await expect(spaces(page).nth(1)).toBeFocused();
  await page.keyboard.press('Enter');
  await expect.poll(() => ideas(page).count()).toBeGreaterThanOrEqual(3);
  await page.keyboard.press('2');
  await expect(spaces(page).nth(1)).toHaveAccessibleName(/Cal has a fill/);
  await page.keyboard.press('Escape');
  await expect(detail(page)).toHaveCount(0);
  await expect(spaces(page).nth(1)).toBeFocused();
  await page.keyboard.press('p');
  await page.waitForURL(/\/part\//);
  await expect(page.getByText('Your spaces')).toBeVisible();
});

test('keys pressed one behind the other, faster than a space is drawn, all do what they say', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await spaces(ann).first().focus();
  for (const key of ['Enter', 'o', 'ArrowDown', 'ArrowDown', 'o']) await ann.keyboard.press(key);
  await expect(spaces(ben).nth(0)).toHaveAccessibleName(/left open/);
  await expect(spaces(ben).nth(2)).toHaveAccessibleName(/left open/);
  await expect(spaces(ben).nth(1)).toHaveAccessibleName(/unclaimed/);
  await expect(detail(ann)).toHaveCount(1);
  await expect(spaces(ann).nth(2)).toHaveAttribute('aria-expanded', 'true');

  // Out again before it is there: one is where one stepped to, and nothing comes after.
  for (const key of ['ArrowUp', 'Escape']) await ann.keyboard.press(key);
  await expect(spaces(ann).nth(1)).toBeFocused();
  await expect(detail(ann)).toHaveCount(0);
  for (const key of ['Enter', 'Escape', 'ArrowUp']) await ann.keyboard.press(key);
  await expect(spaces(ann).nth(0)).toBeFocused();
  await expect(detail(ann)).toHaveCount(0);
  await expect(ann.locator('button[data-space][aria-expanded="true"]')).toHaveCount(0);
  await end();
});

test('steps and keys while a space is still being drawn count from where one has stepped to', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const session = await ann.context().newCDPSession(ann);
  await session.send('Emulation.setCPUThrottlingRate', { rate: 8 });
  const frame = () =>
    ann.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
  await spaces(ann).first().focus();
  await ann.keyboard.press('Enter');
  await expect(detail(ann)).toBeVisible();
  for (let step = 1; step <= 3; step++) {
    await ann.keyboard.press('ArrowDown');
    await frame();
    await expect(spaces(ann).nth(step)).toBeFocused();
  }
  await ann.keyboard.press('o');
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/left open/);
  for (const nth of [0, 1, 2]) await expect(spaces(ben).nth(nth)).toHaveAccessibleName(/unclaimed/);
  await end();
});

test('tempo, feel, capo and roles are changed on the board and seen by the other', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await ann.keyboard.press('s');
  await ann.getByLabel('Quarter notes a minute').fill('0');
  await ann.getByRole('button', { name: 'Keep', exact: true }).click();
  await expect(ann.getByRole('alert').first()).toBeVisible();
  await ann.getByLabel('Quarter notes a minute').fill('132');
  await ann.getByRole('button', { name: 'Keep', exact: true }).click();
  await expect(ben.getByText('♩ = 132, even')).toBeVisible();
  await ann.getByLabel('swing, 2 to 1').check();
  await expect(ben.getByText('♩ = 132, swing, 2 to 1')).toBeVisible();
  await ann.getByRole('listitem', { name: /Ann/ }).getByLabel('capo').selectOption('2');
  await expect(ben.getByText('Ann’s guitar plays F with capo 2')).toBeVisible();
  await ann
    .getByRole('button', { name: /roles and order/ })
    .first()
    .click();
  await ann.getByRole('combobox', { name: 'Ben', exact: true }).first().selectOption('lay out');
  await spaces(ben).first().click();
  await expect(detail(ben).getByText(/^Ben can’t/)).toBeVisible();
  await end();
});

test('the order of the song is changed: once more, as a break, moved, left out, and taken back', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const passes = (who: Page) => who.locator('section.pass[data-pass]');
  await expect(passes(ann)).toHaveCount(1);
  await ann.getByRole('button', { name: /roles and order/ }).click();
  await ann.getByRole('button', { name: /Play it once more/ }).click();
  await expect(passes(ben)).toHaveCount(2);
  // The form goes along to the pass that was put in.
  await passes(ann).last().getByLabel('sung:').selectOption('by nobody: a break');
  await expect(passes(ben).last().getByRole('heading')).toHaveText(/Break/);
  await expect(passes(ben).last().locator('.syllable')).toHaveCount(0);
  await passes(ann).last().getByRole('combobox', { name: 'Ben', exact: true }).selectOption('break');
  await expect(passes(ben).last()).toContainText('Ben takes the break');
  // A line in which nobody sings is talked about by its bars, and the word stands with its pass.
  await ann.keyboard.press('Escape');
  await passes(ann).last().locator('.line-words').first().focus();
  await ann.keyboard.press('w');
  await ann.getByRole('button', { name: /What is said about the line/ }).click();
  await ann.getByRole('button', { name: /Say something about bars \d+ to \d+/ }).click();
  await ann.keyboard.type('twice as loud');
  await ann.keyboard.press('Enter');
  await passes(ben)
    .last()
    .getByRole('button', { name: /^One thing is said, not answered yet, of Break/ })
    .click();
  await expect(ben.getByRole('region', { name: /^Said of Break/ })).toContainText(
    /Ann: Bars \d+ to \d+: twice as loud/,
  );
  await ben.keyboard.press('Escape');
  await ann.keyboard.press('Escape');
  await passes(ann)
    .last()
    .getByRole('button', { name: /roles and order/ })
    .click();
  await ann.getByRole('button', { name: 'Earlier' }).click();
  await expect(passes(ben).first().getByRole('heading')).toHaveText(/Break/);
  await passes(ann).first().getByRole('button', { name: 'Leave it out' }).click();
  await expect(passes(ben)).toHaveCount(1);
  await ann.keyboard.press('Control+z');
  await expect(passes(ben)).toHaveCount(2);
  await end();
});

test('the words are there before the scripts run', async ({ page, browser }) => {
  const { ann, end } = await twoOnABoard(page, browser);
  const cookies = await ann.context().cookies();
  const plain = await browser.newContext({ javaScriptEnabled: false });
  await plain.addCookies(cookies);
  const read = await plain.newPage();
  await read.goto(ann.url());
  await expect(read.locator('.syllable').first()).toBeVisible();
  await expect(read.locator('.chord').first()).toBeVisible();
  await plain.close();
  await end();
});

for (const width of [390, 820, 1440]) {
  test(`the demo's board and part can be read and heard at ${width} px, light and dark`, async ({ page }) => {
    await page.setViewportSize({ width, height: 900 });
    await intoDemo(page);
    await page.getByRole('region', { name: 'Songs' }).getByRole('listitem').first().getByRole('link').click();
    await page.waitForURL(/\/song\//);
    await kept(page);
    await spaces(page).nth(2).click();
    await expect.poll(() => ideas(page).count()).toBeGreaterThanOrEqual(1);
    await accessibleInBoth(page);
    await expectNoSideways(page);
    await page.keyboard.press('Escape');
    await page.keyboard.press('p');
    await page.waitForURL(/\/part\//);
    await kept(page);
    await accessibleInBoth(page);
  });
}
