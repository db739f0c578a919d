import { expect, type Page, test } from '@playwright/test';
import { detail, ideas, kept, seenKept, spaces, twoOnABoard } from './band-at-work';
import { expectAccessible } from './reading-aloud';

const proposals = (page: Page) =>
  detail(page).getByRole('region', { name: 'Put to the band' }).getByRole('listitem');

/** Opens the longest space with a player's ideas in it, by keys where they have them. */
async function openFor(page: Page, name: string): Promise<void> {
  const space = spaces(page).nth(3);
  await space.focus();
  await page.keyboard.press('Enter');
  const who = detail(page).getByRole('button', { name: new RegExp(`${name} (can|has it)`) });
  await who.focus();
  await page.keyboard.press('Enter');
  await expect.poll(() => ideas(page, name).count()).toBeGreaterThanOrEqual(2);
}

/** On the band's page: sets how the band agrees. */
async function agreeBy(page: Page, leader: string): Promise<void> {
  const board = page.url();
  await page.goto(board.replace(/\/song\/.*$/, ''));
  await kept(page);
  await page.getByLabel(/Who leads the band/).selectOption({ label: leader });
  await page.getByLabel('We vote on what is put to the band').check();
  await kept(page);
  await page.goto(board);
  await kept(page);
}

test('an idea is put to the band, voted on, settled; whose word it is is asked once; by keys', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await agreeBy(ann, 'Ann');

  // Ben would settle, but Ann leads: he is asked, and puts it to the band instead.
  await openFor(ben, 'Ben');
  await ben.keyboard.press('1');
  const asked = detail(ben).getByRole('alert').filter({ hasText: 'Ann leads the band' });
  await expect(asked).toBeVisible();
  await expect(asked.getByRole('button', { name: /Put it to the band/ })).toBeFocused();
  await expectAccessible(ben);
  await ben.keyboard.press('i');
  await expect(asked).toHaveCount(0);
  await expect(proposals(ben)).toHaveCount(1);
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/unclaimed; 1 put to the band/);

  // Each sees that the other is there before they collide.
  await spaces(ann).nth(3).focus();
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/; Ben is here$/);
  // Ann sees it, drawn, with who puts it forward; both say yes; she settles it with its key.
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/1 put to the band/);
  const list = (on: Page) => on.getByRole('region', { name: 'Put to the band in this song' });
  await expect(list(ann)).toContainText('One idea waits for your word.');
  await ann.keyboard.press('!');
  await expect(list(ann).getByRole('listitem')).toContainText(
    /Ben puts forward: an? .+ for Ben; Verse.*, after “/,
  );
  await expectAccessible(ann);
  await ann.keyboard.press('=');
  await expect(spaces(ann).nth(3)).toBeFocused();
  await expect(detail(ben).getByText('Ann is here too.')).toBeVisible();
  await expect(proposals(ann).first()).toContainText('Ben puts forward');
  await expect(proposals(ann).first().getByRole('img').first()).toHaveAccessibleName(/Tablature: string \d/);
  await expect(proposals(ann).first()).toContainText('Nobody has said yes or no yet');
  await ann.keyboard.press('c');
  await expect(proposals(ben).first()).toContainText('Yes: Ann; one more yes would carry it.');
  await ben.keyboard.press('q');
  await expect(proposals(ann).first()).toContainText(
    'It cannot be carried any more as it stands, yes: Ann; no: Ben.',
  );
  await expectAccessible(ann);

  // Ben would settle it by its key: he is asked once, and the question's keys are nobody else's.
  await ben.keyboard.press('j');
  await expect(asked).toContainText('Ann leads the band');
  await expect(asked.getByRole('button', { name: /Put it to the band/ })).toHaveCount(0);
  await expect(asked.getByRole('button', { name: /Do it all the same/ })).toBeFocused();
  for (const key of ['i', 'j'])
    expect(await ben.locator(`[aria-keyshortcuts="${key}"]`).count()).toBeLessThanOrEqual(1);
  await expectAccessible(ben);
  await ben.keyboard.press('Escape');
  await expect(asked).toHaveCount(0);
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/unclaimed/);

  // Once it is carried, anybody settles it, and nobody is asked.
  await ben.keyboard.press('c');
  await expect(proposals(ben).first()).toContainText('Carried, yes: Ann, Ben. Anybody may settle it.');
  await expectAccessible(ben);
  await ben.keyboard.press('j');
  await expect(detail(ben).getByRole('alert')).toHaveCount(0);
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/Ben has a fill/);
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/Ben has a fill/);
  await expect(proposals(ben)).toHaveCount(0);

  // Ben holds it now: its notes are his word, and nobody asks him.
  await ben.keyboard.press('2');
  await expect(detail(ben).getByRole('alert')).toHaveCount(0);
  // The leader is asked nothing either.
  await ann.getByRole('button', { name: 'Leave it open' }).click();
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/left open/);
  await ann.keyboard.press('Control+z');
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/Ben has a fill/);

  // A plan is asked about like everything else: Ben puts one space of it to the band, and settles the rest all the same.
  await ben.keyboard.press('Escape');
  await ben.keyboard.press('f');
  await expect(ben.getByRole('heading', { name: 'Who takes what' })).toBeVisible();
  await ben.keyboard.press('g');
  const plan = ben.locator('[data-plan]');
  const leads = ben.getByRole('alert').filter({ hasText: 'Ann leads the band' });
  await expect(ben.getByRole('button', { name: /^Settle all/ })).toBeVisible({ timeout: 30_000 });
  await ben.keyboard.press('d');
  await expect(plan.and(ben.locator('[aria-current="step"]')).getByRole('alert')).toContainText('Ann leads');
  await expectAccessible(ben);
  await ben.keyboard.press('i');
  await expect(leads).toHaveCount(0);
  await expect(ben.getByText('One idea is put to the band.')).toBeVisible();
  await expect(list(ann)).toContainText('One idea waits for your word.');
  await ben.keyboard.press('y');
  await expect(leads.getByRole('button', { name: /Do it all the same/ })).toBeVisible();
  await ben.keyboard.press('Escape');
  await expect(leads).toHaveCount(0);
  await expect(plan.getByText('Settled now.')).toHaveCount(0);
  await ben.keyboard.press('y');
  await ben.keyboard.press('j');
  await expect(ben.getByText(/spaces settled\. One undo takes them all back/)).toBeVisible();
  await expect(plan.getByText('Settled now.').first()).toBeVisible();
  await end();
});

test('what is said of a space and of the song is read by the other, offline too, and taken back by who said it', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await openFor(ann, 'Ben');
  await ann.keyboard.press('.');
  await ann.keyboard.type('Softer here, the words matter');
  await ann.keyboard.press('Enter');
  const said = (on: Page) => on.getByRole('list', { name: 'What is said about it' });
  await expect(said(ann)).toContainText('Ann: Softer here, the words matter');
  await spaces(ben).nth(3).click();
  await expect(said(ben)).toContainText('Ann: Softer here, the words matter');
  await expect(ben.getByRole('button', { name: /Take back what you said/ })).toHaveCount(0);

  // Ben answers without a connection; it is there when the connection is back.
  await ben.context().setOffline(true);
  await ben.keyboard.press('.');
  await ben.keyboard.type('Will do');
  await ben.keyboard.press('Enter');
  await expect(said(ben)).toContainText('Ben: Will do');
  await ben.context().setOffline(false);
  await expect(said(ann)).toContainText('Ben: Will do');
  await ann.keyboard.press(':');
  await expect(said(ben)).not.toContainText('Softer');

  // Of the whole song.
  await ann.keyboard.press('Escape');
  await ann.keyboard.press(',');
  await ann.keyboard.type('Saturday at the grange');
  await ann.keyboard.press('Enter');
  await expect(ben.getByRole('region', { name: 'About the song' })).toContainText(
    'Ann: Saturday at the grange',
  );
  await expectAccessible(ann);
  await end();
});

test('who comes back is told what changed meanwhile, by whom, until they have seen it', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const board = ben.url();
  const since = ben.getByRole('region', { name: 'What changed since you were here' });
  await expect(since).toHaveCount(0);
  await seenKept(ben);
  await ben.goto(board.replace(/\/song\/.*$/, ''));
  await kept(ben);

  await openFor(ann, 'Ann');
  await ann.keyboard.press('1');
  await ann.keyboard.press('.');
  await ann.keyboard.type('Try this one');
  await ann.keyboard.press('Enter');
  await kept(ann);

  await ben.goto(board);
  await expect(since).toContainText('2 things changed');
  await ben.keyboard.press('z');
  await expect(since).toContainText(/Ann settled an? .+ for Ann in Verse/);
  await expect(since).toContainText('“Try this one”');
  await expectAccessible(ben);
  await ben.keyboard.press('/');
  await expect(spaces(ben).nth(3)).toBeFocused();
  await expect(since.getByRole('button', { name: /Go there: Ann, of Verse/ })).toHaveAttribute(
    'aria-keyshortcuts',
    '/',
  );
  await ben.keyboard.press('*');
  await expect(since).toHaveCount(0);
  await ben.reload();
  await kept(ben);
  await expect(since).toHaveCount(0);
  // Ann's own doing is no news to her.
  await ann.reload();
  await kept(ann);
  await expect(ann.getByRole('region', { name: 'What changed since you were here' })).toHaveCount(0);
  await end();
});

test('what is said of a line and of a pass stands in their margins until it is answered', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const panel = (on: Page) => on.getByRole('region', { name: /^Said of/ });
  /** Says something in the talk that is open, by keys. */
  const say = async (on: Page, text: string) => {
    await expect(
      on.locator('section.detail').getByRole('button', { name: /^Say something about/ }),
    ).toBeVisible();
    await on.keyboard.press('.');
    await expect(on.getByRole('textbox', { name: 'To the band' })).toBeFocused();
    await on.keyboard.type(text);
    await on.keyboard.press('Enter');
  };
  const said = (on: Page) => panel(on).getByRole('list', { name: 'What is said about it' });

  // Of a line, by keys from its words.
  const line = ann.locator('.line').nth(1);
  await line.locator('.line-words').focus();
  await ann.keyboard.press('w');
  await expect(ann.getByRole('button', { name: /What is said about the line/ })).toBeVisible();
  await ann.keyboard.press('.');
  await expect(panel(ann)).toBeVisible();
  await expect(ann.locator('section.words-panel')).toHaveCount(0);
  await say(ann, 'All lean in here?');
  await expect(said(ann)).toContainText('Ann: All lean in here?');
  await expect(said(ann)).toContainText('not answered yet');
  await expectAccessible(ann);

  // Ben sees the mark, hears it, and answers by a key.
  const mark = (on: Page) =>
    on.getByRole('button', { name: /^One thing is said, not answered yet, of the line: / });
  await expect(mark(ben)).toHaveCount(1);
  await expect(ben.locator('.line').nth(1).locator('.line-said')).toContainText('not answered yet');
  await mark(ben).focus();
  await ben.keyboard.press('Enter');
  await expect(said(ben)).toContainText('Ann: All lean in here?');
  await ben.keyboard.press('"');
  await expect(said(ben)).toContainText('Ben: Noted');
  await expect(mark(ben)).toHaveCount(0);
  await expect(ann.getByRole('button', { name: /^Two things are said of the line: / })).toBeVisible();
  await ben.keyboard.press('Escape');
  await expect(ben.locator('.line').nth(1).locator('.line-said')).toBeFocused();
  await ann.keyboard.press('Escape');

  // Of a pass; and who comes to a line sees what is said of its spaces.
  await ann
    .getByRole('button', { name: /^Say something about Verse/ })
    .first()
    .click();
  await expect(panel(ann)).toBeVisible();
  await say(ann, 'Half as loud');
  await expect(
    ben.getByRole('button', { name: /^One thing is said, not answered yet, of Verse/ }),
  ).toHaveCount(1);
  await expectAccessible(ben);
  await ben.getByRole('button', { name: /^One thing is said, not answered yet, of Verse/ }).click();
  await expect(said(ben)).toContainText('Ann: Half as loud');
  await say(ben, 'Gladly');
  await expect(ann.getByRole('button', { name: /^Two things are said of Verse/ })).toHaveCount(1);
  await ann.keyboard.press(':');
  await expect(said(ben)).not.toContainText('Half as loud');
  await ann.keyboard.press('Escape');

  await spaces(ann).nth(3).focus();
  await ann.keyboard.press('Enter');
  await expect(detail(ann)).toBeVisible();
  await say(ann, 'A breath longer');
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/; something said of it is not answered yet/);
  await mark(ben).click();
  await panel(ben)
    .getByRole('button', { name: /^Go there: Verse/ })
    .click();
  await expect(spaces(ben).nth(3)).toBeFocused();
  await expect(detail(ben)).toContainText('Ann: A breath longer');
  await expectAccessible(ben);
  await end();
});

test('ad lib and silence are put to the band too, settled from there, and taken back from the list by its key', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await agreeBy(ann, 'Ann');
  const list = ben.getByRole('region', { name: 'Put to the band in this song' });

  // Ben may not simply have it: he is asked, and puts it instead.
  await spaces(ben).nth(3).click();
  await detail(ben)
    .getByRole('button', { name: /Ben can/ })
    .click();
  await expect(detail(ben).getByRole('button', { name: /Put to the band: Ben, ad lib/ })).toBeVisible();
  await ben.keyboard.press('a');
  await expect(detail(ben).getByRole('alert')).toContainText('Ann leads the band');
  await ben.keyboard.press('i');
  await expect(proposals(ben)).toHaveText([/Ben puts forward: Ben, ad lib/]);
  // Pressed again, it is not put a second time; silence is another thing.
  await ben.keyboard.press('(');
  await ben.keyboard.press(')');
  await expect(proposals(ben)).toHaveText([/Ben puts forward: Ben, ad lib/, /Ben puts forward: left open/]);
  await expectAccessible(ben);

  // The list over the whole song takes the first back by its key.
  await ben.keyboard.press('!');
  await expect(list.getByRole('listitem')).toHaveCount(2);
  await ben.keyboard.press('_');
  await expect(list.getByRole('listitem')).toHaveCount(1);
  await expect(proposals(ben)).toHaveText([/Ben puts forward: left open/]);

  // Ann settles it.
  await spaces(ann).nth(3).click();
  await expect(proposals(ann)).toHaveCount(1);
  await ann.keyboard.press('j');
  await expect(spaces(ben).nth(3)).toHaveAccessibleName(/left open/);
  await expect(list).toHaveCount(0);
  await end();
});

test('what one did oneself is no news, though one left before the news was seen', async ({
  page,
  browser,
}) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  const board = ben.url();
  const away = board.replace(/\/song\/.*$/, '');
  const since = ben.getByRole('region', { name: 'What changed since you were here' });
  await seenKept(ben);
  await ben.goto(away);
  await kept(ben);

  await openFor(ann, 'Ann');
  await ann.keyboard.press('1');
  await expect(spaces(ann).nth(3)).toHaveAccessibleName(/Ann has a fill/);
  await kept(ann);

  // Ben sees that there is news, leaves it, and moves his capo: nothing in the song says who did that.
  await ben.goto(board);
  await expect(since).toContainText('one thing changed');
  await ben.keyboard.press('s');
  await ben
    .getByRole('listitem', { name: /Ben/ })
    .getByRole('combobox', { name: /capo/ })
    .first()
    .selectOption('3');
  await kept(ben);
  await ben.goto(away);
  await kept(ben);
  await ben.goto(board);
  await expect(since).toContainText('one thing changed');
  await ben.keyboard.press('z');
  await expect(since.getByRole('listitem')).toHaveText([/^Ann settled/]);
  await end();
});
