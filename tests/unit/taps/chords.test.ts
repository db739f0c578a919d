import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '@/lib/base';
import { readText } from '@/lib/exchange/text-read';
import { checkSong, type Song } from '@/lib/song';
import {
  type Anchor,
  CHORD_COSTS,
  type ChordAt,
  chordsAlong,
  chordsWith,
  laidAsWritten,
  moveSyllable,
  planSung,
  sheetOf,
  type TapBar,
  withSung,
} from '@/lib/taps';

const BEAT = 960;
const FOUR = { count: 4, unit: 4 };
const bars = (count: number, meter = FOUR): TapBar[] =>
  Array.from({ length: count }, (_, i) => ({
    id: `bar ${i}`,
    startTick: i * meter.count * BEAT,
    endTick: (i + 1) * meter.count * BEAT,
    meter,
    pickup: false,
  }));
const chordsAt = (...beats: number[]): ChordAt[] =>
  beats.map((beat, i) => ({ id: `chord ${i}`, tick: beat * BEAT }));
/** Lines of syllables as pairs of beats: where they were, where they are. */
const anchors = (...lines: readonly (readonly (readonly [was: number, is: number])[])[]): Anchor[] =>
  lines.flatMap((line) =>
    line.map(([was, is], i) => ({ was: was * BEAT, is: is * BEAT, startsLine: i === 0 })),
  );
/** All chords' beats afterwards. */
function beats(chords: readonly ChordAt[], moved: readonly ChordAt[]): readonly number[] {
  const to = new Map(moved.map(({ id, tick }) => [id, tick]));
  return chords.map(({ id, tick }) => (to.get(id) ?? tick) / BEAT);
}
const along = (chords: readonly ChordAt[], over: readonly Anchor[], count: number, meter = FOUR) =>
  beats(chords, chordsAlong({ chords, anchors: over, bars: bars(count, meter) }));

// Where the chords belong is common practice, no source: they change with the bar, under the words that carry them.
describe('chords go along with the words that they stood over', () => {
  it('goes from guessed bars to the bars in which its syllable is sung', () => {
    // Guessed a bar each; sung over two bars each.
    const over = anchors([
      [0, 0],
      [2, 3],
      [4, 8],
      [6, 11],
    ]);
    expect(along(chordsAt(0, 4), over, 4)).toEqual([0, 8]);
  });

  it('stands on the downbeat that an early or a late word belongs to', () => {
    const early = anchors([
      [0, 0],
      [4, 3.5],
    ]);
    expect(along(chordsAt(0, 4), early, 2)).toEqual([0, 4]);
    const late = anchors([
      [0, 0],
      [4, 4.5],
      [8, 8],
    ]);
    expect(along(chordsAt(0, 4, 8), late, 3)).toEqual([0, 4, 8]);
  });

  it('has two chords to the bar where their words are sung so', () => {
    const over = anchors(
      [
        [0, 0],
        [4, 2],
        [8, 4],
        [12, 6],
      ],
      [
        [16, 8],
        [20, 10],
        [24, 12],
        [28, 14],
      ],
    );
    expect(along(chordsAt(0, 4, 8, 12, 16, 20, 24, 28), over, 8)).toEqual([0, 2, 4, 6, 8, 10, 12, 14]);
  });

  it('keeps chords between lines as long after the words before them, or sooner where the next line comes sooner', () => {
    const later = anchors([[0, 0]], [[8, 16]]);
    expect(along(chordsAt(0, 4, 8, 12), later, 8)).toEqual([0, 4, 16, 20]);
    const sooner = anchors([[0, 0]], [[8, 4]]);
    // Behind all words nothing says where: on the downbeat.
    expect(along(chordsAt(0, 4, 8, 12), sooner, 8)).toEqual([0, 2, 4, 8]);
  });

  it('leaves chords before the first word where they are', () => {
    const over = anchors([[8, 12]]);
    expect(along(chordsAt(0, 4, 8), over, 4)).toEqual([0, 4, 12]);
  });

  it('moves none where no word has moved, wherever they stand', () => {
    const over = anchors([
      [0, 0],
      [1.5, 1.5],
      [3, 3],
    ]);
    expect(chordsAlong({ chords: chordsAt(0, 1.5, 3, 3.25), anchors: over, bars: bars(2) })).toEqual([]);
  });

  it('answers no chords, no words and chords on one place', () => {
    expect(chordsAlong({ chords: [], anchors: [], bars: bars(1) })).toEqual([]);
    expect(chordsAlong({ chords: chordsAt(0, 2), anchors: [], bars: bars(1) })).toEqual([]);
    expect(along(chordsAt(4, 4), anchors([[4, 8]]), 3)).toEqual([8, 8]);
  });
});

/** A line of words with chords, moved: onsets and chords on half beats, in three bars of three beats. */
const scene = fc.record({
  was: fc.uniqueArray(fc.integer({ min: 0, max: 17 }), { minLength: 1, maxLength: 5 }),
  is: fc.uniqueArray(fc.integer({ min: 0, max: 17 }), { minLength: 5, maxLength: 5 }),
  chords: fc.uniqueArray(fc.integer({ min: 0, max: 17 }), { minLength: 1, maxLength: 4 }),
  starts: fc.array(fc.boolean(), { minLength: 5, maxLength: 5 }),
});
const rising = (halves: readonly number[]) => [...halves].sort((a, b) => a - b);
const THREE = { count: 3, unit: 4 };

function sceneOf(given: { was: number[]; is: number[]; chords: number[]; starts: boolean[] }) {
  const is = rising(given.is.slice(0, given.was.length));
  const over = rising(given.was).map(
    (was, i): Anchor => ({
      was: was * 480,
      is: itemAt(is, i) * 480,
      startsLine: i === 0 || itemAt(given.starts, i),
    }),
  );
  const chords = rising(given.chords).map((half, i): ChordAt => ({ id: `chord ${i}`, tick: half * 480 }));
  return { chords, anchors: over, bars: bars(3, THREE) };
}

/** What a choice of places costs, written anew from the model's words, in half beats of three bars of 3/4. */
function costOf(given: ReturnType<typeof sceneOf>, places: readonly number[]): number {
  const C = CHORD_COSTS;
  const weakness = (half: number) =>
    half % 2 === 1 ? C.weaker[1] : half % 6 === 0 ? C.weaker[4] : C.weaker[2];
  const over = given.anchors.map(({ was, is, startsLine }) => ({ was: was / 480, is: is / 480, startsLine }));
  const starts = over.filter(({ startsLine }) => startsLine);
  const [one, other] = [itemAt(starts, 0), itemAt(starts, starts.length - 1)];
  const stretch = starts.length < 2 ? 1 : (other.is - one.is) / (other.was - one.was);
  let cost = 0;
  given.chords.forEach(({ tick }, i) => {
    const own = tick / 480;
    const place = itemAt(places, i);
    const before = over.filter(({ was }) => was <= own).at(-1);
    const after = over.find(({ was }) => was >= own);
    if (!before) {
      if (place !== own) cost = Infinity;
    } else {
      const ratio = after && after.was > before.was ? (after.is - before.is) / (after.was - before.was) : 1;
      const target = before.is + (own - before.was) * Math.min(1, after ? ratio : stretch);
      const away = Math.min(own - before.was, after ? after.was - own : Infinity) / 2;
      const perBeat = before.is % 2 === 0 ? C.away.onBeat : C.away.between;
      cost += ((Math.abs(place - Math.min(18, target)) / 2) * perBeat) / (1 + away);
      cost += Math.max(0, weakness(place) - weakness(own));
    }
    if (i === 0) return;
    const [last, lastPlace] = [itemAt(given.chords, i - 1).tick / 480, itemAt(places, i - 1)];
    if (lastPlace >= place) cost = Infinity;
    if (last % 6 === own % 6 && lastPlace % 6 !== place % 6) cost += C.otherPlace;
  });
  return cost;
}

it('is exact for its model: no other places cost less', () => {
  fc.assert(
    fc.property(scene, (drawn) => {
      const given = sceneOf(drawn);
      const found = beats(given.chords, chordsAlong(given)).map((beat) => beat * 2);
      let least = Infinity;
      const walk = (places: readonly number[]): void => {
        const own = given.chords[places.length];
        if (!own) {
          least = Math.min(least, costOf(given, places));
          return;
        }
        for (let half = 0; half < 18; half++) {
          const isPlace = half % 2 === 0 || (own.tick / 480) % 2 === 1;
          if (isPlace && half > (places.at(-1) ?? -1)) walk([...places, half]);
        }
      };
      walk([]);
      expect(costOf(given, found)).toBeCloseTo(least, 9);
    }),
    { numRuns: 150, seed: 31 },
  );
});

it('chords stay in their order, inside the bars, and go with words that all move by whole bars', () => {
  fc.assert(
    fc.property(scene, fc.integer({ min: 0, max: 3 }), (drawn, by) => {
      const given = sceneOf(drawn);
      const found = beats(given.chords, chordsAlong(given));
      expect(found).toEqual([...new Set(found)].sort((a, b) => a - b));
      expect(itemAt(found, 0)).toBeGreaterThanOrEqual(0);
      expect(itemAt(found, found.length - 1)).toBeLessThan(9);
      const first = Math.min(...given.anchors.map(({ was }) => was));
      const shifted = given.anchors.map((one) => ({ ...one, is: one.was + by * 3 * BEAT }));
      const after = beats(given.chords, chordsAlong({ ...given, anchors: shifted, bars: bars(6, THREE) }));
      given.chords.forEach(({ tick }, i) => {
        expect(itemAt(after, i)).toBe(tick / BEAT + (tick < first ? 0 : by * 3));
      });
    }),
    { numRuns: 120, seed: 32 },
  );
});

describe('the chords of a song', () => {
  const TEXT =
    'Title: The Lower Ford\n\n[Verse]\nG      C\nCarry me over,\nD        G\nwater is high today,\n';
  const read = (text: string): Song => {
    const song = readText(text, { title: 'a', makeId: makeIds(randomFrom(1)) });
    if (!song.ok) throw new Error(song.error.what);
    return song.value.song;
  };

  it('are a guess where no bars are written, and only there', () => {
    expect(itemAt(read(TEXT).sections, 0).chordsGuessed).toBe(true);
    expect(
      itemAt(read(TEXT.replace('G      C', '| G  | C |').replace('D        G', '| D | G |')).sections, 0),
    ).not.toHaveProperty('chordsGuessed');
  });

  it('move with a line that is sung a bar later, and are what they were', () => {
    const song = read(TEXT);
    const sheet = sheetOf(song, itemAt(song.passes, 0), (line) => line.map(() => 1 as const));
    if (!sheet) throw new Error('nothing to tap');
    const written = laidAsWritten(sheet);
    expect(chordsWith(song, sheet, written)).toEqual([]);
    const second = itemAt(itemAt(sheet.lines, 1).syllables, 0).tick;
    const late = moveSyllable(written, 1, 0, BEAT, true, sheet.endTick);
    expect(late).not.toBe(written);
    const change = {
      ...planSung(song, [{ sheet, lines: late }], makeIds(randomFrom(2))),
      chords: chordsWith(song, sheet, late),
    };
    const after = withSung(song, change);
    expect(checkSong(after)).toEqual([]);
    expect(after.chords.map(({ symbol }) => symbol)).toEqual(['G', 'C', 'D', 'G']);
    expect(second).toBe(2 * 4 * BEAT);
  });
});
