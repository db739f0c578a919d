import { join } from 'node:path';
import { expect, type Page, test } from '@playwright/test';
import { itemAt, lastOf, randomFrom } from '../../lib/base';
import { normal } from '../outside/singers';
import { kept } from './band-at-work';
import { Person } from './person';
import { expectAccessible } from './reading-aloud';

const FILE = join(import.meta.dirname, '../tunes/mill-road.txt');

/*
 * How the song is meant to be sung, written by hand before anything was tapped: of each line, the beat on which each syllable begins,
 * counted from the pass's first downbeat, and the beat by which the line is over. Common practice, no source.
 */
interface MeantLine {
  readonly beats: readonly number[];
  readonly over: number;
}
const VERSE: readonly MeantLine[] = [
  { beats: [0, 0.5, 1, 2, 3, 3.5, 4, 6], over: 9 },
  { beats: [16, 17, 17.5, 18, 19, 20, 21], over: 24 },
  { beats: [34.5, 35, 35.5, 36, 36.5, 37, 38, 40], over: 43 },
  { beats: [51, 51.5, 52, 54, 56, 56.5, 57], over: 61 },
];
const CHORUS: readonly MeantLine[] = [
  { beats: [0, 1, 1.5, 2, 3.5, 4, 4.5, 6], over: 8 },
  { beats: [16, 17, 17.5, 18, 19, 20, 22], over: 25 },
  { beats: [32, 32.5, 33, 35, 35.5, 36, 38], over: 41 },
  { beats: [49, 50, 51, 52, 54, 56], over: 60 },
];
/** The second verse: its second line has a rhythm of its own, its last is let go sooner. */
const SECOND: readonly MeantLine[] = [
  itemAt(VERSE, 0),
  { beats: [16, 16.5, 17, 18, 19, 20, 21], over: 24 },
  itemAt(VERSE, 2),
  { beats: [51, 51.5, 52, 54, 56, 56.5, 57], over: 60 },
];
/** The third: one syllable more in its first line, one fewer in its last, another rhythm in the third. */
const THIRD: readonly MeantLine[] = [
  { beats: [0, 0.5, 1, 1.5, 2, 3, 3.5, 4, 6], over: 9 },
  itemAt(VERSE, 1),
  { beats: [34.5, 35, 35.5, 36, 37, 37.5, 38, 40], over: 43 },
  { beats: [51, 52, 54, 56, 56.5, 57], over: 61 },
];

/** Where the chords stand: by hand too, in beats from the first downbeat. None of them lasts as long as the bar that a text without barlines gives it but some. */
const VERSE_CHORDS = 'G 0, C 4, G 8, G 16, D 20, C 32, G 36, D 40, G 52, D 56, G 60';
const CHORUS_CHORDS = 'C 0, G 4, C 16, G 20, D 22, C 32, G 36, D 40, C 52, D 54, G 56';

/** Who taps a song in, on a page whose clock stands still but for what they wait. */
class Singer extends Person {
  /** The page's clock, in milliseconds. */
  #now = 0;
  readonly #random = randomFrom(11);

  /** From here on the page's time goes only as `wait` says. */
  async stopClock(): Promise<void> {
    await this.page.clock.pauseAt(await this.page.evaluate(() => Date.now() + 1000));
    this.#now = await this.page.evaluate(() => performance.now());
  }

  async wait(millis: number): Promise<void> {
    const whole = Math.round(millis);
    if (whole <= 0) return;
    await this.page.clock.runFor(whole);
    this.#now += whole;
  }

  async waitUntil(time: number): Promise<void> {
    await this.wait(time - this.#now);
  }

  /** Space held between two times of the page's clock, early and uneven as singers are: 25 ms of spread, 20 ms ahead. */
  async hold(from: number, to: number, what: string): Promise<void> {
    this.count(what);
    const off = () => -20 + 25 * normal(this.#random);
    await this.wait(from + off() - this.#now);
    await this.page.keyboard.down(' ');
    await this.wait(Math.max(60, to + 2 * off() - this.#now));
    await this.page.keyboard.up(' ');
  }

  /** Waits for the first beat that is seen, and gives its time. */
  async firstBeat(): Promise<number> {
    for (let i = 0; i < 400; i++) {
      await this.wait(5);
      if ((await this.page.locator('.tap-beats [data-now="true"]').count()) > 0) return this.#now - 2.5;
    }
    throw new Error('no beat is seen');
  }

  /** Counted in at 120: half a second to the beat, four beats before the first bar. */
  async sing(lines: readonly MeantLine[], by: 'lines' | 'syllables', what: string): Promise<void> {
    await this.press('s', 'start');
    const zero = (await this.firstBeat()) + 4 * 500;
    for (const { beats, over } of lines) {
      if (by === 'lines') await this.hold(zero + itemAt(beats, 0) * 500, zero + over * 500, what);
      else
        for (const [i, beat] of beats.entries()) {
          const to = beats[i + 1] ?? over;
          await this.hold(zero + beat * 500, zero + (to - 0.15) * 500, what);
        }
    }
    await this.wait(1500);
    await expect(this.page.getByRole('heading', { name: /as it was heard/ })).toBeVisible();
  }

  /** The chords of the guess or of the pass as it stands: names with their beats. */
  async chords(): Promise<string> {
    const all = await this.page
      .locator('.guess-chord')
      .evaluateAll((chords) =>
        chords.map((one) => `${one.textContent} ${Number(one.getAttribute('data-tick')) / 960}`),
      );
    return all.join(', ');
  }

  /** The guess as it is shown: beats of the syllables, line by line as they are meant. */
  async shown(lines: readonly MeantLine[]): Promise<readonly (readonly number[])[]> {
    const ticks = await this.page
      .locator('.guess-syllable')
      .evaluateAll((all) => all.map((one) => Number(one.getAttribute('data-tick'))));
    let at = 0;
    return lines.map(({ beats }) => {
      at += beats.length;
      return ticks.slice(at - beats.length, at).map((tick) => tick / 960);
    });
  }

  /** Beats by which the lines are over, from what is said of their last syllables. */
  async overs(lines: readonly MeantLine[]): Promise<readonly number[]> {
    const shown = await this.shown(lines);
    const overs: number[] = [];
    for (const [line, beats] of shown.entries()) {
      const label = await this.page
        .locator(`[data-spot="${line}.${beats.length - 1}"]`)
        .getAttribute('aria-label');
      overs.push(lastOf(beats) + beatsHeld(label ?? ''));
    }
    return overs;
  }

  async goTo(line: number, index: number, isLast = false): Promise<void> {
    for (;;) {
      const now = await this.page.evaluate(() => document.activeElement?.getAttribute('data-spot') ?? '');
      const [atLine = -1, at = -1] = now.split('.').map(Number);
      if (atLine === line && at === index) return;
      if (atLine !== line) await this.press(atLine < line ? 'ArrowDown' : 'ArrowUp', 'mend: go');
      else if (index - at > 2 && isLast) await this.press('End', 'mend: go');
      else await this.press(at < index ? 'ArrowRight' : 'ArrowLeft', 'mend: go');
    }
  }

  /** Moves whatever is not where it is meant, from the side from which there is room. */
  async mend(lines: readonly MeantLine[]): Promise<void> {
    for (const [n, line] of lines.entries()) {
      for (let round = 0; round < 60; round++) {
        const own = itemAt(await this.shown(lines), n);
        const wrong = line.beats.flatMap((beat, i) => (own[i] === beat ? [] : [i]));
        if (wrong.length === 0) break;
        const later = (i: number) => itemAt(line.beats, i) > itemAt(own, i);
        // The last of those that go later, the first of those that go earlier: nobody is in the way.
        const index = wrong.findLast(later) ?? itemAt(wrong, 0);
        const isRight = (i: number) => own[i] === line.beats[i];
        await this.goTo(n, index);
        const before = itemAt(own, index);
        const away = Math.abs(itemAt(line.beats, index) - before);
        const key =
          away >= 1 ? (later(index) ? 'Shift+ArrowRight' : 'Shift+ArrowLeft') : later(index) ? '.' : ',';
        await this.press(key, 'mend: move');
        expect(isRight(index)).toBe(false);
        await expect.poll(async () => itemAt(itemAt(await this.shown(lines), n), index)).not.toBe(before);
      }
      for (let round = 0; round < 20; round++) {
        const over = itemAt(await this.overs(lines), n);
        if (over === line.over) break;
        await this.goTo(n, line.beats.length - 1, true);
        await this.press(over < line.over ? '=' : '-', 'mend: hold');
        await expect.poll(async () => itemAt(await this.overs(lines), n)).not.toBe(over);
      }
    }
    expect(await this.shown(lines)).toEqual(lines.map(({ beats }) => beats));
    expect(await this.overs(lines)).toEqual(lines.map(({ over }) => over));
  }
}

/** `held 2 and a half beats` as a number. */
function beatsHeld(label: string): number {
  const said = /held (\d+)?(?: and )?(a half)? (?:of a )?beats?/.exec(label);
  if (!said) throw new Error(`no length in "${label}"`);
  return Number(said[1] ?? 0) + (said[2] ? 0.5 : 0);
}

async function makeBand(page: Page): Promise<void> {
  await page.goto('/');
  await page.getByLabel('Name of the band').fill('Mill Road');
  await page.getByLabel('Your name').fill('Ann');
  await page.getByRole('button', { name: /Make the band/ }).click();
  await page.getByRole('link', { name: /Go to the band/ }).click();
  await kept(page);
}

async function bandWithSong(page: Page, person: Singer): Promise<void> {
  await makeBand(page);
  await person.press('b', 'bring in');
  person.count('bring in');
  await page.getByLabel('Song file').setInputFiles(FILE);
  await expect(page.getByRole('region', { name: 'What was read' })).toContainText(
    'each chord was taken as one bar',
  );
  await person.press('Control+Enter', 'bring in');
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
}

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
  await expect(page.getByText(/The beat goes at ♩ = 120, tapped between 120 and 120 on /)).toBeVisible();

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

const WORDS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** `… bars 3 and 4: seven beats, …` as a number. */
function beatsSaid(label: string): number {
  const said = /: (\S+)( and a half)? beats?,/.exec(label);
  const whole = WORDS.indexOf(said?.[1] ?? '');
  return (whole < 0 ? Number(said?.[1]) : whole) + (said?.[2] ? 0.5 : 0);
}

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

test('a song that is sung over twice the bars of its chords gets them, and the guess stays', async ({
  page,
}) => {
  await page.clock.install();
  const person = new Singer(page);
  await makeBand(page);
  await page.keyboard.press('b');
  await page
    .getByLabel(/Paste the tune/)
    .fill(
      'Slow Ferry\nTempo: 120\n\n[Verse]\nG           D\nCarry me over the ford\nC            G\nover the water again\n',
    );
  await page.keyboard.press('Control+Enter');
  await page.getByRole('button', { name: /Bring it in/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  await page.keyboard.press('t');
  await expect(page.getByText('4 bars.')).toBeVisible();
  await kept(page);
  await person.stopClock();
  // Each chord lasts two bars as it is sung: the second line begins with the fifth bar.
  const lines: readonly MeantLine[] = [
    { beats: [0, 1, 2, 3, 4, 5, 6], over: 11 },
    { beats: [16, 17, 18, 19, 20, 21, 22], over: 27 },
  ];
  await page.getByRole('radio', { name: 'each syllable' }).check();
  await person.sing(lines, 'syllables', 'syllables');
  const words = lines.map(({ beats }) => beats);
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.keyboard.press('x');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  expect(await person.shown(lines)).toEqual(words);
  // Had the count come out twice as fast as it was meant: over half the beats, and back.
  await page.keyboard.press('h');
  expect(await person.shown(lines)).toEqual(words.map((line) => line.map((beat) => beat / 2)));
  await page.keyboard.press('d');
  expect(await person.shown(lines)).toEqual(words);
  await page.keyboard.press('e');
  await expect(page.getByText('8 bars.')).toBeVisible();
  await page.keyboard.press('m');
  expect(await person.shown(lines)).toEqual(words);
  const bars = await page.locator('.guess-beat[data-bar="true"]').count();
  expect(bars).toBe(8);

  // By hand too a line can begin before the first bar: a pickup is put in for it.
  await page.keyboard.press('Shift+ArrowLeft');
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.keyboard.press('p');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  await expect(page.locator('[data-spot="0.0"]')).toHaveAttribute('aria-label', /pickup, beat 4, held/);
});

test('words that begin before the first bar get a pickup, and the chords can stay', async ({ page }) => {
  await page.clock.install();
  const person = new Singer(page);
  await makeBand(page);
  await page.keyboard.press('b');
  await page
    .getByLabel(/Paste the tune/)
    .fill(
      'Early Lark\nTempo: 120\n\n[Verse]\nG       C      G    D\nUp before the morning light,\nC       D      G    G\nout before the day is bright,\n',
    );
  await page.keyboard.press('Control+Enter');
  await page.getByRole('button', { name: /Bring it in/ }).click();
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
  await page.keyboard.press('t');
  await expect(page.getByText('8 bars.')).toBeVisible();
  await kept(page);
  await person.stopClock();
  // Two chords to the bar: each line has two bars, and begins a beat before them.
  const lines: readonly MeantLine[] = [
    { beats: [-1, 0, 1, 2, 3, 4, 5], over: 6 },
    { beats: [7, 8, 9, 10, 11, 12, 13], over: 14 },
  ];
  await page.getByRole('radio', { name: 'each syllable' }).check();
  await person.sing(lines, 'syllables', 'syllables');
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.clock.resume();
  await expectAccessible(page);
  await page.keyboard.press('p');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  const fromPickup = (all: readonly MeantLine[]) => all.map(({ beats }) => beats.map((beat) => beat + 1));
  expect(await person.shown(lines)).toEqual(fromPickup(lines));
  await expect(page.locator('[data-spot="0.0"]')).toHaveAttribute('aria-label', /^Up, pickup, beat 4, held/);

  // The chords go with the words: on the pickup's grid, beat 1 is the first downbeat. And stay where they were, if that is asked.
  const along = await person.chords();
  await page.keyboard.press('c');
  const stays = await person.chords();
  expect(stays).not.toBe(along);
  expect(stays).toBe('G 1, C 5, G 9, D 13, C 17, D 21, G 25, G 29');
  await expect(page.getByRole('checkbox', { name: /chords go along/ })).not.toBeChecked();
  await page.keyboard.press('c');
  expect(await person.chords()).toBe(along);

  await page.keyboard.press('e');
  await expect(page.getByText(/Verse is on the board as you sang it/)).toBeFocused();
  await page.keyboard.press('k');
  await expect(page.getByText('5 bars.')).toBeVisible();
  await page.keyboard.press('m');
  expect(await person.shown(lines)).toEqual(fromPickup(lines));
  expect(await person.chords()).toBe(along);
  await page.keyboard.press('Escape');
  await page.keyboard.press('u');
  await page.waitForURL(/\/song\/[^/]+$/);
  // With the pickup the song begins at once: no space opens it, and the last line is followed by two beats.
  const labels = await page
    .locator('button[data-space]')
    .evaluateAll((spaces) => spaces.map((one) => one.getAttribute('aria-label') ?? one.textContent ?? ''));
  expect(labels.map(beatsSaid)).toEqual([2]);
});
