import { type APIResponse, expect, type Page, test } from '@playwright/test';
import { plainSong } from '../faults/songs';
import { kept, madeBand, TUNE } from './band-at-work';

/** What the page's policy has stopped, and whatever went wrong in its scripts, from now on. */
async function watchPolicy(page: Page): Promise<{ readonly stopped: () => Promise<string[]> }> {
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(`threw: ${error.message}`));
  page.on('dialog', (dialog) => {
    errors.push(`a dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on('console', (message) => {
    if (/Content Security Policy/i.test(message.text())) errors.push(message.text());
  });
  return { stopped: async () => errors };
}

const script = (where: string) => `"><img src=x onerror="window.ran='${where}'">`;

/** Script in every text that a song holds, also in its ids; `$'` and backquotes for who builds text from text. */
function hostileSong(id: string) {
  const plain = plainSong(id);
  const [section] = plain.sections;
  const [pass] = plain.passes;
  const [voice] = plain.voices;
  const [note] = plain.notes;
  const [chord] = plain.chords;
  const [bar] = section?.bars ?? [];
  if (!section || !pass || !voice || !note || !chord || !bar)
    throw new Error('the plain song has one of each');
  const ids = {
    section: '</script><svg onload=ran=1>',
    bar: '<b onmouseover=ran=2>',
    voice: "javascript:ran='v'",
    note: ['$', '{ran=3}`"'].join(''),
    player: '<i onclick=ran=4>',
  };
  const place = { passId: pass.id, noteId: ids.note, voiceId: ids.voice };
  return {
    ...plain,
    title: script('title'),
    sections: [{ ...section, id: ids.section, name: script('section'), bars: [{ ...bar, id: ids.bar }] }],
    passes: [{ ...pass, sectionId: ids.section, name: script('pass'), roles: { [ids.player]: 'lead' } }],
    voices: [{ ...voice, id: ids.voice, name: script('voice') }],
    notes: [
      {
        ...note,
        id: ids.note,
        voiceId: ids.voice,
        barId: ids.bar,
        syllables: [{ text: script('word'), joins: false, endsLine: true }],
      },
    ],
    chords: [{ ...chord, id: '<u>', barId: ids.bar, symbol: script('chord').slice(0, 60) }],
    settings: [
      {
        playerId: ids.player,
        instrument: 'guitar',
        tuning: '<img src=x onerror=ran=5>',
        capo: 0,
        fifthCapo: null,
        rule: null,
      },
    ],
    settled: [
      {
        id: '<s>',
        place,
        extent: { from: 960, to: 3840 },
        holding: {
          kind: 'fill',
          playerId: ids.player,
          fill: {
            family: '<img src=x onerror=ran=6>',
            notes: [
              {
                ...{ tick: 960, ticks: 480, midi: 67, string: 1, fret: 3, finger: 1 },
                ...{ articulation: 'struck', stroke: 'down', exception: false },
                strokeRule: '<img src=x onerror=ran=7>',
              },
            ],
            chords: [{ tick: 0, symbol: '<img src=x onerror=ran=8>' }],
          },
        },
        by: ids.player,
        at: 1,
      },
    ],
    comments: [{ id: '<q>', place, text: script('comment'), by: ids.player, at: 1 }],
  };
}

const post = (page: Page, path: string, body: unknown): Promise<APIResponse> =>
  page.request.post(path, { data: body, headers: { Origin: new URL(page.url()).origin } });

test('every page runs under its policy: scripts by nonce alone, nothing from elsewhere', async ({
  page,
  browser,
  baseURL,
}) => {
  const policy = await watchPolicy(page);
  const foreign: string[] = [];
  page.on('request', (request) => {
    const asked = request.url();
    if (/^(https?|wss?):/.test(asked) && !asked.startsWith(`${baseURL}/`)) foreign.push(asked);
  });
  const { bandId } = await madeBand(page, 'Sluice Gate Six');
  await page.getByRole('link', { name: /Bring in a song/ }).click();
  await page.getByLabel(/Paste the tune/).fill(TUNE);
  await page.keyboard.press('Control+Enter');
  await page.getByRole('button', { name: /Bring it in/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  await page.locator('button[data-space]').first().click();
  await expect(page.locator('section.detail')).toBeVisible();
  const song = page.url();
  const me = (await (await page.request.get('/api/session')).json()).bands[0].playerId;
  const pages = [
    `${song}/part/${me}`,
    '/',
    '/enter',
    `/band/${bandId}`,
    `/band/${bandId}/bring-in`,
    song,
    '/no/such/page',
  ];
  for (const path of pages) {
    const response = await page.goto(path);
    const header = (await response?.allHeaders())?.['content-security-policy'] ?? '';
    const nonce = /'nonce-([^']+)'/.exec(header)?.[1];
    expect(nonce, path).toBeTruthy();
    const html = (await response?.text()) ?? '';
    const scripts = html.match(/<script\b[^>]*>/g) ?? [];
    expect(scripts.length, path).toBeGreaterThan(2);
    for (const tag of scripts) expect(tag, path).toContain(`nonce="${nonce}"`);
    expect(html, path).not.toMatch(/\son[a-z]+="/);
  }
  expect(await policy.stopped()).toEqual([]);
  expect(foreign).toEqual([]);

  // And it stops what it is there to stop: markup that got into a page as the server drew it, or that a script put there.
  const markup =
    '<script>window.ran=1</script><script src="https://elsewhere.example/x.js"></script>' +
    '<img src="/none" onerror="window.ran=2"><base href="https://elsewhere.example/">' +
    '<iframe src="https://elsewhere.example/"></iframe><img src="https://elsewhere.example/?secret">' +
    '<object data="https://elsewhere.example/"></object>';
  // No service worker stands between this page and the changed answer.
  const context = await browser.newContext({
    serviceWorkers: 'block',
    storageState: await page.context().storageState(),
  });
  const bare = await context.newPage();
  await bare.addInitScript(() => {
    const seen: string[] = [];
    Reflect.set(window, 'seen', seen);
    document.addEventListener('securitypolicyviolation', (event) => seen.push(event.effectiveDirective));
  });
  await bare.route(song, async (route) => {
    const response = await route.fetch();
    const body = (await response.text()).replace(/(<body[^>]*>)/, `$1${markup}`);
    await route.fulfill({ response, body });
  });
  await bare.goto(song);
  const ran = await bare.evaluate(async () => {
    const link = document.createElement('a');
    link.href = 'javascript:window.ran=3';
    document.body.append(link);
    link.click();
    const div = document.createElement('div');
    div.innerHTML = '<img src="/none" onerror="window.ran=4"><svg onload="window.ran=5"></svg>';
    document.body.append(div);
    const fetched = await fetch('https://elsewhere.example/').then(
      () => 'reached',
      () => 'stopped',
    );
    // A text as a program, by the page's own clock: what is evaluated from outside is not held to the policy.
    Reflect.apply(setTimeout, window, ['window.ran=6']);
    const seen: string[] = Reflect.get(window, 'seen');
    const wanted = [
      'script-src-elem',
      'script-src-attr',
      'script-src',
      'frame-src',
      'img-src',
      'connect-src',
      'base-uri',
    ];
    // The test's own time limit is the only clock.
    while (!wanted.every((directive) => seen.includes(directive)))
      await new Promise((done) => requestAnimationFrame(done));
    return { ran: Reflect.get(window, 'ran'), fetched };
  });
  expect(ran).toEqual({ ran: undefined, fetched: 'stopped' });
  await context.close();
});

test('script in every text of a band and its song is text on every page', async ({ page, browser }) => {
  const policy = await watchPolicy(page);
  const name = `Mill ${script('band')}`;
  const { bandId, listener } = await madeBand(page, name, script('player').slice(0, 80));
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(name);
  const posted = await post(page, `/api/bands/${bandId}/songs`, { song: hostileSong('bad') });
  expect(posted.status(), await posted.text()).toBe(201);
  const fan = await browser.newContext();
  const theirs = await fan.newPage();
  const fanPolicy = await watchPolicy(theirs);
  await theirs.goto(listener);
  await expect(theirs.getByRole('heading', { level: 1 })).toHaveText(name);
  for (const reader of [page, theirs]) {
    await reader.goto(`/band/${bandId}`);
    await expect(reader.locator('[data-state="kept"]')).toBeVisible();
    await expect(reader.getByText(script('title')).first()).toBeVisible();
    await reader.goto(`/band/${bandId}/song/bad`);
    await expect(reader.locator('[data-state="kept"]')).toBeVisible();
    await expect(reader.getByText(script('word')).first()).toBeAttached();
    // Without a live document too: as the server draws it.
    const html = await (await reader.request.get(`/band/${bandId}/song/bad`)).text();
    expect(html).not.toContain('<img src=x');
    expect(html).not.toContain('<svg onload');
    expect(await reader.evaluate(() => Reflect.get(window, 'ran'))).toBeUndefined();
  }
  expect([...(await policy.stopped()), ...(await fanPolicy.stopped())]).toEqual([]);
  await fan.close();
});

test("a link's secret is gone from the address, and is in no request's address or referrer", async ({
  page,
  browser,
}) => {
  const { player } = await madeBand(page, 'Weighbridge');
  const secret = player.split('#')[1] ?? '';
  const guest = await browser.newContext();
  const theirs = await guest.newPage();
  const said: string[] = [];
  theirs.on('request', (request) => {
    const headers = request.headers();
    said.push(request.url(), headers.referer ?? '', headers.cookie ?? '');
  });
  await theirs.goto(player);
  await theirs.waitForURL(/\/band\//);
  await expect(theirs.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
  expect(theirs.url()).not.toContain(secret);
  for (const line of said) expect(line.split('#')[0]).not.toContain(secret);
  expect(await theirs.evaluate(() => document.cookie)).toBe('');
  expect(await theirs.evaluate(() => JSON.stringify({ ...localStorage, ...sessionStorage }))).not.toContain(
    secret,
  );
  await guest.close();
});

test('a link is changed and ended: who came in by it is told within seconds, and is out', async ({
  page,
  browser,
}) => {
  const { listener, player, bandId } = await madeBand(page, 'Tailrace');
  const fans = await browser.newContext();
  const fan = await fans.newPage();
  await fan.goto(listener);
  await expect(fan.getByText('You are here as a listener')).toBeVisible();
  await expect(fan.getByRole('heading', { name: 'Private links' })).toHaveCount(0);
  await expect(fan.getByRole('button', { name: /Delete the band/ })).toHaveCount(0);

  const links = page.getByRole('region', { name: 'Private links' });
  await links.getByText('2 links are open').click();
  await links.getByRole('button', { name: /Change the link for a listener/ }).click();
  await links.getByRole('button', { name: 'Change it' }).click();
  const changed = await links.getByRole('textbox', { name: 'For listeners' }).inputValue();
  expect(changed).not.toBe(listener);
  await expect(fan.locator('[data-state="not allowed"]')).toBeVisible({ timeout: 5000 });
  await fan.reload();
  await expect(fan.getByRole('heading', { name: 'This page is a band’s own' })).toBeVisible();
  await fan.goto(listener);
  await expect(fan.getByText('This link opens no band.')).toBeVisible();
  await fan.goto(changed);
  await expect(fan.getByText('You are here as a listener')).toBeVisible();

  // A guest by the players' link, and then everybody is put out.
  const guests = await browser.newContext();
  const guest = await guests.newPage();
  await guest.goto(player);
  await expect(guest.getByRole('heading', { name: 'Who are you?' })).toBeVisible();
  await links.getByRole('button', { name: /End all links/ }).click();
  await links.getByRole('button', { name: 'Put everybody out' }).click();
  await expect(links.getByText('Everybody else is out.')).toBeVisible();
  for (const other of [fan, guest]) {
    await expect(other.locator('[data-state="not allowed"]')).toBeVisible({ timeout: 5000 });
    await other.goto(`/band/${bandId}`);
    await expect(other.getByRole('heading', { name: 'This page is a band’s own' })).toBeVisible();
  }
  // Who did it goes on, here and after a reload.
  await page.reload();
  await kept(page);
  await expect(page.getByText('You are Ann')).toBeVisible();
  await fans.close();
  await guests.close();
});

test('a band is left, and deleted by its name, and those in it are told', async ({ page, browser }) => {
  const { player, bandId } = await madeBand(page, 'Penstock');
  const guests = await browser.newContext();
  const guest = await guests.newPage();
  await guest.goto(player);
  await guest.getByRole('button', { name: 'I am Ann' }).click();
  await kept(guest);
  const leaving = guest.getByRole('region', { name: 'Leaving' });
  await leaving.getByRole('button', { name: /Leave the band/ }).click();
  await leaving.getByRole('button', { name: 'Leave it' }).click();
  await guest.waitForURL('/');
  await expect(guest.getByRole('link', { name: 'Penstock' })).toHaveCount(0);
  await guest.goto(`/band/${bandId}`);
  await expect(guest.getByRole('heading', { name: 'This page is a band’s own' })).toBeVisible();
  await guest.goto(player);
  await guest.getByRole('button', { name: 'I am Ann' }).click();
  await kept(guest);

  const mine = page.getByRole('region', { name: 'Leaving' });
  await mine.getByRole('button', { name: /Delete the band/ }).click();
  await mine.getByLabel(/write its name/).fill('Penstok');
  await mine.getByRole('button', { name: /for everybody/ }).click();
  await expect(mine.getByText('nothing was deleted')).toBeVisible();
  await mine.getByLabel(/write its name/).fill('Penstock');
  await mine.getByRole('button', { name: /for everybody/ }).click();
  await page.waitForURL('/');
  await expect(page.getByRole('link', { name: 'Penstock' })).toHaveCount(0);
  await expect(guest.locator('[data-state="not allowed"]')).toContainText('was deleted');
  await guest.goto(player);
  await expect(guest.getByText('This link opens no band.')).toBeVisible();
  await guests.close();
});
