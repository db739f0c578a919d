import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { type Song, writtenTimeline } from '../../../lib/song';
import { findPhrases } from '../../../lib/spaces';
import { cutVoice, type DecidedEnds } from '../../../lib/spaces/cut';
import { LengthScale, type Measure, measureOf, pairReasons } from '../../../lib/spaces/lengths';
import { readLine } from '../../../lib/spaces/voice-line';
import { PHRASE_WEIGHTS, type Weights } from '../../../lib/spaces/weights';
import { tinySong } from './tiny-song';

/** Notes of a few lengths, so that equal phrases and equal rhythms are common; some syllables are held. */
const notes = (most: number) =>
  fc.array(fc.constantFrom('1', '1', '.5', '2', '1 z1'), { minLength: 1, maxLength: most });
const voice = (most: number) =>
  fc.record({
    notes: notes(most),
    held: fc.array(fc.boolean(), { minLength: most, maxLength: most }),
    meter: fc.constantFrom('4/4', '2/4', '3/4'),
    hasWords: fc.boolean(),
    /** In quarters of a point, and few, so that it is often the pairs that tell. */
    points: fc.array(
      fc.integer({ min: -6, max: 6 }).map((quarters) => quarters / 4),
      { minLength: most, maxLength: most },
    ),
    decided: fc.array(fc.constantFrom(0, 0, 0, 0, 0, 0, 0, 1, -1), { minLength: most, maxLength: most }),
  });
type Drawn = { notes: string[]; held: boolean[]; meter: string; hasWords: boolean };

function measure({ notes, held, meter, hasWords }: Drawn, weights: Weights = PHRASE_WEIGHTS): Measure {
  const words = notes.map((_, i) => (held[i] && i > 0 ? '*' : 'la')).join(' ');
  const song = tinySong([{ name: 'V', voices: [{ part: 'lead', notes: notes.join(' '), words: [words] }] }], {
    meter,
  });
  const timeline = writtenTimeline(song);
  return measureOf(readLine(timeline, must(timeline.notes.get('v1'), 'notes')), hasWords, weights);
}

/** What a cut has in points, added up from the reasons that are given for it. */
function pointsOf(measure: Measure, points: readonly number[], ends: readonly number[]): number {
  const scale = new LengthScale(measure);
  let sum = 0;
  ends.forEach((last, k) => {
    const first = (ends[k - 1] ?? -1) + 1;
    if (last + 1 < measure.line.count) sum += itemAt(points, last);
    for (const reason of scale.reasons(first, last + 1)) sum += reason.weight;
    if (k === 0) return;
    for (const reason of pairReasons(measure, (ends[k - 2] ?? -1) + 1, first, last + 1)) sum += reason.weight;
  });
  return sum;
}

/** Every cut that leaves what was decided standing. */
function allCuts(count: number, decided: readonly number[]): number[][] {
  let cuts: number[][] = [[]];
  for (let i = 0; i + 1 < count; i++) {
    const said = itemAt(decided, i);
    cuts = cuts.flatMap((cut) => (said === 1 ? [[...cut, i]] : said === -1 ? [cut] : [cut, [...cut, i]]));
  }
  return cuts.map((cut) => [...cut, count - 1]);
}

const endsOf = (decided: readonly number[]): DecidedEnds => Int8Array.from(decided);

describe('cutVoice', () => {
  it('finds a cut that no other of all cuts beats, and its points are those of its reasons', () => {
    fc.assert(
      fc.property(voice(10), (drawn) => {
        const given = measure(drawn);
        const { count } = given.line;
        const { ends, points } = cutVoice(
          given,
          Float64Array.from(drawn.points),
          endsOf(drawn.decided.slice(0, count)),
        );
        const best = Math.max(
          ...allCuts(count, drawn.decided).map((cut) => pointsOf(given, drawn.points, cut)),
        );
        expect(points).toBeCloseTo(best, 9);
        expect(pointsOf(given, drawn.points, ends)).toBeCloseTo(points, 9);
      }),
      { numRuns: 300 },
    );
  });

  it('does so past the longest phrase, as a search over all pairs of phrases does', () => {
    fc.assert(
      fc.property(voice(60), (drawn) => {
        const given = measure({ ...drawn, notes: [...drawn.notes, ...Array<string>(40).fill('1')] });
        const { count } = given.line;
        const points = Array.from({ length: count }, (_, i) => drawn.points[i] ?? 0);
        const found = cutVoice(given, Float64Array.from(points), new Int8Array(count)).points;
        expect(found).toBeCloseTo(bestByPairs(given, points), 9);
      }),
      { numRuns: 10 },
    );
  });

  it('does so where phrases are as long as they may be', () => {
    const drawn = { notes: Array<string>(190).fill('1'), held: [], meter: '4/4', hasWords: false };
    const given = measure(drawn, { ...PHRASE_WEIGHTS, long: 0 });
    const points = Array.from({ length: 190 }, (_, i) => (i % 63 === 62 ? -2 : i % 31 === 0 ? -3 : -4));
    const { ends, points: found } = cutVoice(given, Float64Array.from(points), new Int8Array(190));
    expect(ends).toEqual([62, 125, 189]);
    expect(found).toBeCloseTo(bestByPairs(given, points), 9);
  });

  it('keeps to what was decided, however bad', () => {
    fc.assert(
      fc.property(voice(30), (drawn) => {
        const given = measure(drawn);
        const { count } = given.line;
        const { ends } = cutVoice(
          given,
          Float64Array.from(drawn.points),
          endsOf(drawn.decided.slice(0, count)),
        );
        for (let i = 0; i + 1 < count; i++) {
          if (drawn.decided[i] === 1) expect(ends).toContain(i);
          if (drawn.decided[i] === -1) expect(ends).not.toContain(i);
        }
      }),
      { numRuns: 100 },
    );
  });

  it('joins more notes than the longest phrase has where a person says so', () => {
    const given = measure({ notes: Array<string>(200).fill('1'), held: [], meter: '4/4', hasWords: false });
    const { ends } = cutVoice(given, new Float64Array(200), new Int8Array(200).fill(-1));
    expect(ends).toEqual([199]);
  });
});

/** Phrases by first note and the one after their last, each with the best before it: no shortcut, so slow. */
function bestByPairs(given: Measure, points: readonly number[]): number {
  const LONGEST = 64;
  const { count } = given.line;
  const scale = new LengthScale(given);
  const best = new Map<string, number>();
  for (let to = 1; to <= count; to++) {
    for (let from = Math.max(0, to - LONGEST); from < to; from++) {
      const own = (to < count ? itemAt(points, to - 1) : 0) + scale.points(from, to);
      let most = from === 0 ? 0 : Number.NEGATIVE_INFINITY;
      for (let before = Math.max(0, from - LONGEST); before < from; before++) {
        const pair = pairReasons(given, before, from, to).reduce((sum, reason) => sum + reason.weight, 0);
        most = Math.max(most, must(best.get(`${before} ${from}`), 'a phrase') + pair);
      }
      best.set(`${from} ${to}`, most + own);
    }
  }
  const last = Array.from({ length: Math.min(count, LONGEST) }, (_, i) =>
    best.get(`${count - 1 - i} ${count}`),
  );
  return Math.max(...last.map((each) => must(each, 'a phrase')));
}

describe('what people decided', () => {
  const line = '1 1 1 1 1 1 2 ';
  const lastNotes = (phraseEnds: Song['phraseEnds']) => {
    const song = tinySong([{ name: 'V', voices: [{ part: 'lead', notes: line.repeat(4) }] }]);
    return findPhrases(writtenTimeline({ ...song, phraseEnds }), { ignoreWords: false });
  };

  it('stands, is given as the reason, and the rest is cut round it', () => {
    expect(lastNotes([]).map((phrase) => phrase.lastNote)).toEqual([6, 13, 20, 27]);
    const moved = lastNotes([
      { noteId: 's1v1n7', stanza: null, ends: false },
      { noteId: 's1v1n5', stanza: null, ends: true },
    ]);
    expect(moved.map((phrase) => phrase.lastNote)).toEqual([4, 13, 20, 27]);
    expect(moved[0]?.why[0]?.rule).toBe('decided');
  });

  it('holds for its stanza alone, and there before a word for all', () => {
    const song = tinySong([{ name: 'V', voices: [{ part: 'lead', notes: line.repeat(2) }] }]);
    const at = (stanza: number | null, ends: boolean) => ({ noteId: 's1v1n7', stanza, ends });
    const ends = (...phraseEnds: Song['phraseEnds']) =>
      findPhrases(writtenTimeline({ ...song, phraseEnds }), { ignoreWords: false }).map(
        (each) => each.lastNote,
      );
    expect(ends(at(2, false))).toEqual([6, 13]);
    expect(ends(at(1, false))).toEqual([13]);
    expect(ends(at(null, false), at(1, true))).toEqual([6, 13]);
  });
});
