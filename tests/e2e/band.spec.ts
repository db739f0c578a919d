import { expect, type Page, test, type WebSocketRoute } from '@playwright/test';
import { kept, madeBand } from './band-at-work';

/** A short tune of ours, with what a song has: key, meter, tempo, chords, words, a rest at each line's end. */
const TUNE = `X:1
T:Down by the Mill Race
M:4/4
L:1/4
Q:1/4=100
K:G
"G" G A B d | "C" c B "G" A2 | "G" z4 |
w: Down by the mill race wa- ter,
"D" A B c A | "G" G4 | z4 |]
w: nev- er a word from you.
`;

const players = (page: Page) => page.getByRole('region', { name: 'Players' });

test('who comes in says who they are, or adds themself, and both browsers see each other', async ({
  page,
  browser,
}) => {
  const { player: address } = await madeBand(page, 'Tollhouse Five');
  const other = await browser.newContext();
  const theirs = await other.newPage();
  await theirs.goto(address);
  await expect(theirs.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
  await expect(theirs.getByRole('button', { name: 'I am Ann' })).toBeVisible();
  await theirs.getByRole('button', { name: /add yourself/ }).click();
  await theirs.getByLabel('Your name').fill('Ned Carrow');
  await expect(theirs.getByLabel('Initials')).toHaveValue('NC');
  await theirs.getByLabel('Initials').fill('Ned');
  await theirs.getByLabel('banjo', { exact: true }).check();
  await theirs.getByLabel('tenor').check();
  await theirs.getByRole('button', { name: /That is me/ }).click();
  await expect(theirs.getByText('You are Ned Carrow')).toBeVisible();

  await expect(players(page).getByText('Ned Carrow', { exact: true })).toBeVisible();
  await expect(players(page).getByText('banjo; sings tenor')).toBeVisible();
  await expect(page.getByText('here too:')).toContainText('Ned');
  await expect(theirs.getByText('here too:')).toContainText('Ann');

  // Coming back, this device is known.
  await kept(theirs);
  await theirs.reload();
  await expect(theirs.getByText('You are Ned Carrow')).toBeVisible();
  await other.close();
  await expect(page.getByText('here too:')).toHaveCount(0);
});

test('a player is changed, seen by the others, and taken back by who changed it', async ({
  page,
  browser,
}) => {
  const { player: address } = await madeBand(page, 'Ferry Lane');
  const other = await browser.newContext();
  const theirs = await other.newPage();
  await theirs.goto(address);
  await theirs.getByRole('button', { name: 'I am Ann' }).click();
  await expect(players(theirs)).toBeVisible();

  await page.getByRole('button', { name: 'Change Ann' }).click();
  const form = players(page);
  await form.getByLabel('fiddle').check();
  await form.getByText(/How they play/).click();
  await form.getByLabel(/alternate/).check();
  await form.getByLabel(/Eighth notes a minute/).fill('9');
  await form.getByRole('button', { name: /Keep it/ }).click();
  await expect(form.getByText(/Write a number from 20/)).toBeVisible();
  await form.getByLabel(/Eighth notes a minute/).fill('360');
  await form.getByRole('button', { name: /Keep it/ }).click();
  await expect(players(theirs).getByText('fiddle')).toBeVisible();

  await kept(page);
  await page.keyboard.press('Control+z');
  await expect(players(theirs).getByText('plays nothing yet')).toBeVisible();
  await other.close();
});

test('the band is renamed by keyboard alone', async ({ page }) => {
  await madeBand(page, 'First Name');
  // Before the band is here nobody can rename it, by a key either.
  await kept(page);
  await expect(page.getByRole('button', { name: 'Rename the band' })).toBeVisible();
  await page.getByRole('heading', { level: 1 }).focus();
  await page.keyboard.press('r');
  await expect(page.getByLabel('Name of the band')).toBeFocused();
  await page.keyboard.type('Second Name');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Second Name');
  await page.getByRole('heading', { level: 1 }).focus();
  await page.keyboard.press('r');
  await page.keyboard.type('Never');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Second Name');
});

test('a song is pasted, read, brought in, and stands in the list', async ({ page }) => {
  await madeBand(page, 'Paste and Play');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await page.getByLabel(/Paste the tune/).fill(TUNE);
  await page.keyboard.press('Control+Enter');
  const read = page.getByRole('region', { name: 'What was read' });
  await expect(read).toContainText('G major, 4/4, 100 quarter notes a minute');
  await expect(read.getByLabel('Title')).toHaveValue('Down by the Mill Race');
  await read.getByLabel('Title').fill('The Mill Race');
  await read.getByRole('button', { name: /Bring it in/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await expect(page.getByText('mill', { exact: false }).first()).toBeVisible();
  await page.goto(page.url().replace(/\/song\/.*$/, ''));
  await expect(page.getByRole('link', { name: 'The Mill Race' })).toBeVisible();
});

test('a file is read, and a text of several tunes asks which', async ({ page }) => {
  await madeBand(page, 'Two in One');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  const second = TUNE.replace('X:1', 'X:2').replace('Down by the Mill Race', 'Over the Weir');
  await page.getByLabel('Song file').setInputFiles({
    name: 'two tunes.abc',
    mimeType: 'text/plain',
    buffer: Buffer.from(`${TUNE}\n${second}`),
  });
  await expect(page.getByLabel('Title')).toHaveValue('Down by the Mill Race');
  await page.getByLabel(/holds 2 tunes/).selectOption({ label: 'Over the Weir' });
  await expect(page.getByLabel('Title')).toHaveValue('Over the Weir');
});

const BAD: readonly (readonly [name: string, text: string])[] = [
  ['plain words', 'Dear band, see you on Friday at the usual place.'],
  ['a header without music', 'X:1\nT:Nothing\nK:G\n'],
  ['binary signs', `X:1\n${'\u0000\u0001\u0002'.repeat(200)}`],
];
for (const [name, text] of BAD) {
  test(`${name}: says what, where and what to do, and the text stays`, async ({ page }) => {
    await madeBand(page, 'Bad Input');
    await page.getByRole('link', { name: /Bring in a song/ }).click();
    const box = page.getByLabel(/Paste the tune/);
    await box.fill(text);
    const before = await box.inputValue();
    await page.getByRole('button', { name: /Read it/ }).click();
    const notice = page.getByRole('alert').filter({ hasText: 'nothing was brought in' });
    await expect(notice).toBeVisible();
    expect(await notice.locator('p').count()).toBe(4);
    expect(await box.inputValue()).toBe(before);
    await expect(page.getByRole('button', { name: /Bring it in/ })).toHaveCount(0);
  });
}

test('ten million signs are refused at once, and the page goes on', async ({ page }) => {
  await madeBand(page, 'Too Long');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await page.getByLabel('Song file').setInputFiles({
    name: 'huge.abc',
    mimeType: 'text/plain',
    buffer: Buffer.alloc(10_000_000, 'A'),
  });
  await expect(page.getByRole('alert').filter({ hasText: '10 million signs' })).toContainText('huge.abc');
  await page.getByRole('button', { name: /short example/ }).click();
  await page.getByRole('button', { name: /Read it/ }).click();
  await expect(page.getByRole('region', { name: 'What was read' })).toContainText('Nothing was left out');
});

test('what could not be read is listed with its place, and the place can be gone to', async ({ page }) => {
  await madeBand(page, 'Left Out');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await page.getByLabel(/Paste the tune/).fill(TUNE.replace('c B "G" A2', 'c {ab}B "G" A2'));
  await page.getByRole('button', { name: /Read it/ }).click();
  const place = page.getByRole('button', { name: /Go to line \d+, column \d+/ }).first();
  await expect(place).toBeVisible();
  await place.click();
  await expect(page.getByLabel(/Paste the tune/)).toBeFocused();
  const at = await page
    .getByLabel(/Paste the tune/)
    .evaluate((box) => (box instanceof HTMLTextAreaElement ? box.selectionStart : -1));
  const line = TUNE.slice(0, at).split('\n').length;
  expect(line).toBe(7);
});

test('while the server cannot be reached the page says so, edits go on, and nothing is lost', async ({
  page,
}) => {
  let reachable = true;
  const sockets: WebSocketRoute[] = [];
  await page.routeWebSocket(/\/sync\//, (socket) => {
    if (!reachable) return socket.close();
    sockets.push(socket);
    socket.connectToServer();
  });
  await madeBand(page, 'Before the Flood');
  reachable = false;
  for (const socket of sockets) await socket.close();
  await expect(page.getByText('what you do stays on this device until it is back').first()).toBeVisible();
  await page.getByRole('button', { name: 'Rename the band' }).click();
  await page.getByLabel('Name of the band').fill('After the Flood');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('After the Flood');
  await expect(page.locator('[data-state="offline"]')).toBeVisible();
  reachable = true;
  await kept(page);
  await page.reload();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('After the Flood');
});

test('reading can be stopped, and the text stays', async ({ page }) => {
  // A worker that never answers: what is tested is the page's part in it.
  await page.addInitScript(() => {
    Reflect.set(
      window,
      'Worker',
      class extends EventTarget {
        postMessage() {}
        terminate() {}
      },
    );
  });
  await madeBand(page, 'Long Wait');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await page.getByLabel(/Paste the tune/).fill(TUNE);
  await page.getByRole('button', { name: /Read it/ }).click();
  await expect(page.getByRole('progressbar', { name: 'Reading' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByText('Stopped. The text is still in the box.')).toBeVisible();
  await expect(page.getByLabel(/Paste the tune/)).toHaveValue(TUNE);
});
