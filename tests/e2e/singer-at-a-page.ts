import { join } from 'node:path';
import { expect, type Page } from '@playwright/test';
import { itemAt, lastOf, randomFrom } from '../../lib/base';
import { normal } from '../outside/singers';
import { kept, madeBand } from './band-at-work';
import { Person } from './person';

const FILE = join(import.meta.dirname, '../tunes/mill-road.txt');

/*
 * How the song is meant to be sung, written by hand before anything was tapped: of each line, the beat on which each syllable begins,
 * counted from the pass's first downbeat, and the beat by which the line is over. Common practice, no source.
 */
export interface MeantLine {
  readonly beats: readonly number[];
  readonly over: number;
}
export const VERSE: readonly MeantLine[] = [
  { beats: [0, 0.5, 1, 2, 3, 3.5, 4, 6], over: 9 },
  { beats: [16, 17, 17.5, 18, 19, 20, 21], over: 24 },
  { beats: [34.5, 35, 35.5, 36, 36.5, 37, 38, 40], over: 43 },
  { beats: [51, 51.5, 52, 54, 56, 56.5, 57], over: 61 },
];
export const CHORUS: readonly MeantLine[] = [
  { beats: [0, 1, 1.5, 2, 3.5, 4, 4.5, 6], over: 8 },
  { beats: [16, 17, 17.5, 18, 19, 20, 22], over: 25 },
  { beats: [32, 32.5, 33, 35, 35.5, 36, 38], over: 41 },
  { beats: [49, 50, 51, 52, 54, 56], over: 60 },
];
/** The second verse: its second line has a rhythm of its own, its last is let go sooner. */
export const SECOND: readonly MeantLine[] = [
  itemAt(VERSE, 0),
  { beats: [16, 16.5, 17, 18, 19, 20, 21], over: 24 },
  itemAt(VERSE, 2),
  { beats: [51, 51.5, 52, 54, 56, 56.5, 57], over: 60 },
];
/** The third: one syllable more in its first line, one fewer in its last, another rhythm in the third. */
export const THIRD: readonly MeantLine[] = [
  { beats: [0, 0.5, 1, 1.5, 2, 3, 3.5, 4, 6], over: 9 },
  itemAt(VERSE, 1),
  { beats: [34.5, 35, 35.5, 36, 37, 37.5, 38, 40], over: 43 },
  { beats: [51, 52, 54, 56, 56.5, 57], over: 61 },
];

/** Where the chords stand: by hand too, in beats from the first downbeat. None of them lasts as long as the bar that a text without barlines gives it but some. */
export const VERSE_CHORDS = 'G 0, C 4, G 8, G 16, D 20, C 32, G 36, D 40, G 52, D 56, G 60';
export const CHORUS_CHORDS = 'C 0, G 4, C 16, G 20, D 22, C 32, G 36, D 40, C 52, D 54, G 56';

/** Who taps a song in, on a page whose clock stands still but for what they wait. */
export class Singer extends Person {
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

export async function bandWithSong(page: Page, person: Singer): Promise<void> {
  await madeBand(page);
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
export function beatsSaid(label: string): number {
  const said = /: (\S+)( and a half)? beats?,/.exec(label);
  const whole = WORDS.indexOf(said?.[1] ?? '');
  return (whole < 0 ? Number(said?.[1]) : whole) + (said?.[2] ? 0.5 : 0);
}
