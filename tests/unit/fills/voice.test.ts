import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { itemAt, lastOf } from '../../../lib/base';
import { editFill, type Offer, type OfferRequest, offerFills, varyFill } from '../../../lib/fills';
import { plainSetup } from '../../../lib/instruments';
import { writtenTimeline } from '../../../lib/song';
import { parseChord, toneOf } from '../../../lib/theory';
import { generatedSong, SIX_BEATS, songOf, spaceIn, timelineOf } from './songs';

/** The song with words of its own on the notes. */
function withWords(words: readonly string[]): OfferRequest {
  const song = songOf(SIX_BEATS);
  const notes = song.notes.map((note, i) => {
    const text = words[i % words.length] ?? 'la';
    const joins = text.endsWith('-');
    return { ...note, syllables: [{ text: text.replace('-', ''), joins, endsLine: false }] };
  });
  const timeline = writtenTimeline({ ...song, notes });
  return request({ timeline, space: spaceIn(timeline) });
}

const request = (where: Pick<OfferRequest, 'timeline' | 'space'>): OfferRequest => ({
  ...where,
  setup: plainSetup('voice'),
  rule: 'toward',
  spanMillimetres: null,
  comfortEighthsPerMinute: null,
  count: 8,
});

function offersFor(asked: OfferRequest): readonly Offer[] {
  const offers = offerFills(asked);
  if (!offers.ok) throw new Error(offers.error.what);
  return offers.value;
}

const WORDS = ['down', 'by', 'the', 'riv-', 'er', 'stay', 'un-', 'til', 'the', 'morn-'];

describe('what a voice could sing', () => {
  test('the last words once more, from the beginning of a word', () => {
    const echoes = offersFor(withWords(WORDS)).filter((offer) => offer.family === 'echo');
    expect(echoes.length).toBeGreaterThanOrEqual(2);
    for (const echo of echoes) {
      const words = echo.notes.map((note) => note.word ?? '');
      // Sung before the space: down by the riv- er.
      expect('down by the riv- er'.endsWith(words.join(' '))).toBe(true);
      expect(words[0]).not.toBe('er');
      expect(echo.title).toMatch(/^“.*river” once more/);
    }
  });

  test('a hum on chord tones, held until the next', () => {
    const hums = offersFor(withWords(WORDS)).filter((offer) => offer.family === 'hum');
    expect(hums.length).toBeGreaterThanOrEqual(1);
    const asked = withWords(WORDS);
    for (const hum of hums)
      hum.notes.forEach((note, i) => {
        expect(note.word).toMatch(/^(mm|oo)$/);
        const chord = parseChord(asked.timeline.chordAt(note.tick)?.symbol ?? '');
        expect(chord && toneOf(chord, note.midi)).not.toBeNull();
        const next = hum.notes[i + 1];
        if (next) expect(note.tick + note.ticks).toBe(next.tick);
      });
  });

  test('nothing is struck, stopped or fingered, and nobody leaves their range', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 100_000 }),
        fc.integer({ min: 45, max: 65 }),
        fc.integer({ min: 8, max: 20 }),
        (seed, low, width) => {
          const timeline = timelineOf(generatedSong(seed));
          const asked = {
            ...request({ timeline, space: spaceIn(timeline) }),
            voiceRange: { low, high: low + width },
          };
          for (const offer of offersFor(asked)) {
            expect(['echo', 'hum']).toContain(offer.family);
            expect(itemAt(offer.notes, 0).tick).toBeGreaterThanOrEqual(asked.space.startTick);
            expect(lastOf(offer.notes).tick + lastOf(offer.notes).ticks).toBeLessThanOrEqual(
              asked.space.endTick - asked.space.guardTicks,
            );
            for (const note of offer.notes) {
              expect(note.midi).toBeGreaterThanOrEqual(low);
              expect(note.midi).toBeLessThanOrEqual(low + width);
              expect([note.string, note.fret, note.finger, note.stroke]).toEqual([0, 0, 0, null]);
            }
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test('an echo can be had higher and lower, words and all', () => {
    const asked = withWords(WORDS);
    const echo = offersFor(asked).find((offer) => offer.family === 'echo' && offer.notes.length > 2);
    if (!echo) throw new Error('there is an echo');
    for (const way of ['higher', 'lower'] as const) {
      const turned = varyFill(asked, echo, way);
      if (turned.ok) for (const note of turned.value.notes) expect(note.word).toBeDefined();
    }
  });
});

describe('words of what is sung, changed by hand', () => {
  const asked = withWords(WORDS);
  const echo = itemAt(
    offersFor(asked).filter(({ notes }) => notes.some(({ word }) => word !== undefined)),
    0,
  );
  const wordsAfter = (word: string) => {
    const answer = editFill(asked, echo, { kind: 'word', note: 0, word });
    return answer.ok ? answer.value.notes.map((note) => note.word) : answer.error.what;
  };
  const before = echo.notes.map((note) => note.word);

  test('another word stands on its note alone; nothing takes it away; times and pitches stay', () => {
    expect(wordsAfter('  oh ')).toEqual(['oh', ...before.slice(1)]);
    expect(wordsAfter(' ')).toEqual([undefined, ...before.slice(1)]);
    const answer = editFill(asked, echo, { kind: 'word', note: 0, word: 'oh' });
    const line = (notes: Offer['notes']) => notes.map(({ tick, midi }) => [tick, midi]);
    expect(answer.ok && line(answer.value.notes)).toEqual(line(echo.notes));
  });

  test('is refused where it is too long, and on strings', () => {
    expect(wordsAfter('x'.repeat(61))).toContain('too long');
    const guitar = { ...asked, setup: plainSetup('guitar'), count: 1 };
    const fill = itemAt(offersFor(guitar), 0);
    const answer = editFill(guitar, fill, { kind: 'word', note: 0, word: 'oh' });
    expect(answer.ok ? '' : answer.error.what).toContain('no words');
  });
});
