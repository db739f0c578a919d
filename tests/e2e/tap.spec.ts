import { expect, test } from '@playwright/test';
import { itemAt } from '../../lib/base';
import { kept } from './band-at-work';
import { expectAccessible } from './reading-aloud';
import {
  bandWithSong,
  beatsSaid,
  CHORUS,
  CHORUS_CHORDS,
  type MeantLine,
  SECOND,
  Singer,
  THIRD,
  VERSE,
  VERSE_CHORDS,
} from './singer-at-a-page';

test('a song from a text file is tapped in and mended to a true board', async ({ page }) => {
  test.setTimeout(240_000);
  await page.clock.install();
  const person = new Singer(page);
  await bandWithSong(page, person);
  await person.press('t', 'open');
  await expect(page.getByRole('heading', { name: 'Tap the song in' })).toBeVisible();
  await kept(page);
  await expect(page.getByRole('radio')).not.toHaveCount(0);
  await person.stopClock();

  // The tempo, with nine even taps: how uneven ones fare is judged elsewhere.
  await person.press('t', 'tempo');
  for (let i = 0; i < 9; i++) {
    person.count('tempo');
    await page.keyboard.down(' ');
    await person.wait(100);
    await page.keyboard.up(' ');
    await person.wait(400);
  }
  await expect(page.getByText('♩ = 120, between 120 and 120, from 9 beats')).toBeVisible();
  await person.press('e', 'tempo');
  await expect(page.getByText(/The beat goes at ♩\s=\s120, tapped between 120 and 120 on /)).toBeVisible();

  const passes: readonly (readonly [name: string, lines: readonly MeantLine[], by: 'lines' | 'syllables'])[] =
    [
      ['Verse 1', VERSE, 'syllables'],
      ['Chorus', CHORUS, 'syllables'],
      ['Verse 2', SECOND, 'lines'],
      ['Verse 3', THIRD, 'lines'],
    ];
  let right = 0;
  let all = 0;
  for (const [name, lines, by] of passes) {
    await expect(page.getByRole('radio', { name, exact: true })).toBeChecked();
    const wanted = page.getByRole('radio', { name: by === 'lines' ? 'each line' : 'each syllable' });
    if (!(await wanted.isChecked())) {
      person.count('choose');
      await wanted.check();
    }
    await person.sing(lines, by, `${name}: ${by}`);
    if ((await page.getByText(/reach(es)? outside/).count()) > 0) await person.press('z', 'bars');
    await expect(page.getByText(/reach(es)? outside/)).toHaveCount(0);
    const guess = await person.shown(lines);
    const found = lines.flatMap(({ beats }, n) => beats.map((beat, i) => guess[n]?.[i] === beat));
    right += found.filter(Boolean).length;
    all += found.length;
    for (const [n, line] of lines.entries())
      if (line.beats.join() !== guess[n]?.join())
        console.log(`${name}, line ${n + 1}: ${line.beats.join(' ')} was read ${guess[n]?.join(' ')}`);
    console.log(`${name}: ${found.filter(Boolean).length} of ${found.length} syllables right as tapped`);
    await person.mend(lines);
    // The first stanza takes the chords along; the others find them in their places.
    const chords = name === 'Chorus' ? CHORUS_CHORDS : VERSE_CHORDS;
    expect(await person.chords()).toBe(chords);
    await person.press('e', 'take');
    await expect(page.getByText(`${name} is on the board as you sang it.`)).toBeVisible();
  }
  const rows = [...person.counts].map(([what, count]) => `${String(count).padStart(4)}  ${what}`);
  console.log(
    `${rows.join('\n')}\n${String(person.actions).padStart(4)}  actions in all; ${right} of ${all} syllables right before mending`,
  );
  expect(person.actions).toBeLessThanOrEqual(120);

  // What the document holds, read anew: every stanza where it is meant, beside the others.
  await page.clock.resume();
  await kept(page);
  await page.reload();
  await kept(page);
  for (const [name, lines] of passes) {
    await page.getByRole('radio', { name, exact: true }).check();
    await page.keyboard.press('m');
    await expect(page.getByRole('heading', { name: `${name}, as it was heard` })).toBeVisible();
    expect(await person.shown(lines)).toEqual(lines.map(({ beats }) => beats));
    expect(await person.overs(lines)).toEqual(lines.map(({ over }) => over));
    expect(await person.chords()).toBe(name === 'Chorus' ? CHORUS_CHORDS : VERSE_CHORDS);
    await page.keyboard.press('Escape');
  }

  // The board: every line's space is as long as the silence that was meant.
  await page.keyboard.press('u');
  await page.waitForURL(/\/song\/[^/]+$/);
  const order = [VERSE, CHORUS, SECOND, CHORUS, THIRD, CHORUS];
  const begins = order.flatMap((pass, p) =>
    pass.map(({ beats, over }) => ({ from: 64 * p + itemAt(beats, 0), to: 64 * p + over })),
  );
  const silences = begins.map(({ to }, i) => (begins[i + 1]?.from ?? 64 * order.length) - to);
  const labels = await page
    .locator('button[data-space]')
    .evaluateAll((spaces) => spaces.map((one) => one.getAttribute('aria-label') ?? one.textContent ?? ''));
  // Beats as the label says them: whole ones in words, halves as `and a half`.
  expect(labels.map(beatsSaid)).toEqual(silences);
});

test('it reads aloud well, is held by touch, and changes nothing before it is taken', async ({ page }) => {
  await page.clock.install();
  const person = new Singer(page);
  await bandWithSong(page, person);
  const songAddress = page.url();
  await page.keyboard.press('t');
  await expect(page.getByRole('heading', { name: 'Tap the song in' })).toBeVisible();
  await kept(page);
  await expectAccessible(page);
  await page.keyboard.press('m');
  await expect(page.locator('[data-spot="0.0"]')).toBeFocused();
  await expectAccessible(page);
  await page.keyboard.press('Escape');
  // What was left hands the keys to the way to begin.
  const begin = page.getByRole('button', { name: /Count me in/ });
  await expect(begin).toBeFocused();
  await page.keyboard.press('t');
  await expect(page.getByRole('button', { name: 'Tap each beat' })).toBeFocused();
  await page.keyboard.press('Escape');
  await expect(begin).toBeFocused();
  await page.keyboard.press('s');
  const pad = page.getByRole('button', { name: 'Hold for each line' });
  await expect(pad).toBeFocused();
  await expectAccessible(page);
  await page.keyboard.press('Escape');
  await person.stopClock();
  await page.keyboard.press('s');
  await expect(pad).toBeFocused();

  // By touch: three lines, then that is all.
  const zero = (await person.firstBeat()) + 4 * 600;
  const box = await pad.boundingBox();
  if (!box) throw new Error('the field is not there');
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  for (const [from, to] of [
    [1, 9],
    [17, 24],
    [33, 41],
  ] as const) {
    await person.waitUntil(zero + from * 600 - 30);
    await page.mouse.down();
    await expect(pad).toHaveAttribute('data-held', 'true');
    await person.waitUntil(zero + to * 600 - 30);
    await page.mouse.up();
  }
  // What was tapped is shown at once.
  await expect(page.locator('.tap-run .guess-syllable[data-tapped="true"]')).toHaveCount(23);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { name: 'Verse 1, as it was heard' })).toBeVisible();
  await expect(page.getByRole('status').filter({ hasText: /ahead of the beat|on the beat/ })).toBeVisible();
  const firsts = async () => {
    const ticks = await page
      .locator('.guess-syllable')
      .evaluateAll((all) => all.map((one) => Number(one.getAttribute('data-tick')) / 960));
    return [ticks[0], ticks[8], ticks[15]];
  };
  expect(await firsts()).toEqual([1, 17, 33]);

  // The third line once more, counted in from its own bar; the others stay.
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('a');
  const again = (await person.firstBeat()) + 4 * 600;
  await person.waitUntil(again + 0 * 600 - 30);
  await page.keyboard.down('Enter');
  await person.waitUntil(again + 7 * 600 - 30);
  await page.keyboard.up('Enter');
  await page.keyboard.press('Escape');
  await expect.poll(firsts).toEqual([1, 17, 32]);

  // Left: the song is as it was. Taken: one step, and taken back by one.
  await page.clock.resume();
  await page.keyboard.press('Escape');
  await page.keyboard.press('m');
  const before = await firsts();
  expect(before).not.toEqual([1, 17, 32]);
  await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.press('Shift+ArrowRight');
  await page.keyboard.press('e');
  await expect(page.getByRole('button', { name: 'Undo: a tapped pass' })).toBeVisible();
  await kept(page);
  await page.keyboard.press('Control+z');
  await expect(page.getByRole('button', { name: 'Undo: a tapped pass' })).toHaveCount(0);
  await page.getByRole('radio', { name: 'Verse 1', exact: true }).check();
  await page.keyboard.press('m');
  expect(await firsts()).toEqual(before);
  await page.goto(songAddress);
  await expect(page.getByRole('link', { name: /Tap the song in/ })).toBeVisible();
});
