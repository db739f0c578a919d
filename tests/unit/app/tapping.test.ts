import { describe, expect, it } from 'vitest';
import { areChordsGuessed, changeOf, linesInTheWay, shownLines, staysInTheWay } from '../../../app/tap/guess';
import { atTheEnd, leftOver, pickupFor } from '../../../app/tap/section-bars';
import { itemAt, makeIds, must, randomFrom } from '../../../lib/base';
import { readText } from '../../../lib/exchange/text-read';
import type { Song } from '../../../lib/song';
import { type LaidLine, sheetOf, type TapSheet, withSung } from '../../../lib/taps';

const BEAT = 960;
const TEXT = `Title: The Lower Ford

[Verse]
G            D
Carry me over the ford,
C            G
over the water again,
`;

function open(text = TEXT): { readonly song: Song; readonly sheet: TapSheet } {
  const read = readText(text, { title: 'a', makeId: makeIds(randomFrom(1)) });
  if (!read.ok) throw new Error(read.error.what);
  const { song } = read.value;
  return { song, sheet: sheetIn(song) };
}
const sheetIn = (song: Song): TapSheet =>
  must(
    sheetOf(song, itemAt(song.passes, 0), (line) => line.map(() => 1 as const)),
    'a sheet',
  );

/** Lines whose syllables begin a beat apart, from these beats on. */
const laid = (sheet: TapSheet, ...from: readonly number[]): readonly LaidLine[] =>
  sheet.lines.map(({ syllables }, n) => ({
    syllables: syllables.map((one, i) => ({ ...one, tick: (itemAt(from, n) + i) * BEAT, ticks: BEAT })),
    tapped: true,
    unsure: [],
  }));

describe('a line that reaches outside', () => {
  it('is in the way where, left as it was, it would be sung with another', () => {
    const { sheet } = open();
    expect(sheet.endTick).toBe(16 * BEAT);
    expect(staysInTheWay(sheet, laid(sheet, 0, 8))).toBe(false);
    // The second line was sung from beat 8 on: the first one now ends before it, or lies on it.
    expect(linesInTheWay(sheet, laid(sheet, 0, 16))).toEqual([]);
    expect(linesInTheWay(sheet, laid(sheet, 4, 16))).toEqual([1]);
    expect(linesInTheWay(sheet, laid(sheet, -1, 8))).toEqual([]);
    expect(linesInTheWay(sheet, laid(sheet, -1, 2))).toEqual([0]);
  });

  it('is not shown while it is', () => {
    const { sheet } = open();
    const clear = laid(sheet, 0, 16);
    expect(shownLines(sheet, clear)).toBe(clear);
    expect(shownLines(sheet, laid(sheet, 4, 16)).map(({ syllables }) => syllables.length)).toEqual([7, 0]);
  });
});

describe('the bars of a tapped section', () => {
  it('are put in as far as the lines need, the last as long as the others', () => {
    const { song, sheet } = open();
    expect(atTheEnd(song, sheet, laid(sheet, 0, 8))).toEqual([]);
    expect(atTheEnd(song, sheet, laid(sheet, 0, 16))).toHaveLength(4);
    expect(atTheEnd(song, sheet, laid(sheet, 1, 15))).toHaveLength(4);
  });

  it('are left over behind the last line where nothing stands in them any more', () => {
    const { song, sheet } = open();
    expect(leftOver(song, sheet)).toEqual([]);
    const lines = sheet.lines.map(
      ({ syllables }, n): LaidLine => ({
        syllables: syllables.map((one, i) => ({ ...one, tick: n * 4 * BEAT + i * 480, ticks: 480 })),
        tapped: true,
        unsure: [],
      }),
    );
    expect(areChordsGuessed(song, sheet)).toBe(true);
    const after = withSung(
      song,
      changeOf(song, sheet, lines, [], true, () => []),
    );
    const bars = itemAt(after.sections, 0).bars.map(({ id }) => id);
    expect(leftOver(after, sheetIn(after))).toEqual(bars.slice(2));
    // Where the chords stay, their bars do.
    const kept = withSung(
      song,
      changeOf(song, sheet, lines, [], false, () => []),
    );
    expect(leftOver(kept, sheetIn(kept))).toEqual([]);
  });

  it('begin with a pickup where words come before the first, and what is played before gives up as much', () => {
    const { song, sheet } = open(
      `${TEXT}\n[Chorus]\nC       G\nOver and over,\n\n[Verse 2]\nBring me again to the ford,\nover the water so wide,\n`,
    );
    expect(pickupFor(song, sheet, laid(sheet, 0, 8))).toBeNull();
    const pickup = must(pickupFor(song, sheet, laid(sheet, -1.5, 8)), 'a pickup');
    expect(pickup.bar).toMatchObject({ pickup: true, ticks: 2 * BEAT });
    // The chorus goes into the verse, the verse into the chorus: only the chorus is shorter.
    const chorus = must(itemAt(song.sections, 1).bars.at(-1), 'a bar');
    expect(pickup.shortened).toEqual([{ barId: chorus.id, ticks: 2 * BEAT }]);
    expect(pickupFor(song, sheet, laid(sheet, -4, 8))).toBeNull();
  });
});
