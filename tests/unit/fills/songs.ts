import { itemAt, must, randomFrom } from '../../../lib/base';
import { type Offer, type OfferRequest, offerFills } from '../../../lib/fills';
import { type InstrumentName, plainSetup } from '../../../lib/instruments';
import {
  type Bar,
  type ChordMark,
  type Song,
  type SungNote,
  type Timeline,
  UNDECIDED,
  writtenTimeline,
} from '../../../lib/song';
import { findSpaces, type Space } from '../../../lib/spaces';
import { parseKey } from '../../../lib/theory';
import { barTicks, beatTicks, parseMeter } from '../../../lib/time';

/** A small song in a shorthand of these tests. */
export interface Shorthand {
  readonly key?: string;
  readonly meter?: string;
  readonly tempo?: number;
  readonly swing?: number;
  /** Bars, each a list of chords that share it evenly: `G`, `C D`; '' for none. */
  readonly chords: readonly string[];
  /** Lengths of bars in beats where they are not full: `{ 3: 5 }`. */
  readonly crooked?: Readonly<Record<number, number>>;
  /** Length in beats of a first bar that is a pickup. */
  readonly pickup?: number;
  /** Sung notes: bar (from 0), beat (from 1), length in beats, MIDI number. */
  readonly sung: readonly (readonly [bar: number, beat: number, beats: number, midi: number])[];
}

export function songOf(short: Shorthand): Song {
  const meter = must(parseMeter(short.meter ?? '4/4'), 'a meter');
  const beat = beatTicks(meter);
  const bars: Bar[] = short.chords.map((_, i) => {
    const beats = i === 0 && short.pickup !== undefined ? short.pickup : short.crooked?.[i];
    return {
      id: `b${i}`,
      meter,
      ticks: beats === undefined ? barTicks(meter) : beats * beat,
      pickup: i === 0 && short.pickup !== undefined,
      endings: [],
      key: null,
      tempo: null,
    };
  });
  const chords: ChordMark[] = short.chords.flatMap((text, i) => {
    const symbols = text.split(' ').filter((symbol) => symbol !== '');
    const share = Math.floor(itemAt(bars, i).ticks / Math.max(1, symbols.length) / beat) * beat;
    return symbols.map((symbol, k) => ({ id: `c${i}.${k}`, barId: `b${i}`, offset: k * share, symbol }));
  });
  const notes: SungNote[] = short.sung.map(([bar, at, beats, midi], i) => ({
    id: `n${i}`,
    voiceId: 'v',
    barId: `b${bar}`,
    offset: (at - 1) * beat,
    ticks: beats * beat,
    midi,
    syllables: [{ text: 'la', joins: false, endsLine: false }],
    stanzas: [],
    breath: false,
    fermata: false,
  }));
  return {
    id: 'song',
    title: 'A song for tests',
    key: must(parseKey(short.key ?? 'G'), 'a key'),
    tempo: short.tempo ?? 100,
    feel: { ratio: short.swing ?? 1 },
    sections: [{ id: 's', name: 'Verse', bars }],
    passes: [],
    voices: [{ id: 'v', name: 'lead', part: 'lead', playerId: null, range: null }],
    notes,
    chords,
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
    ...UNDECIDED,
  };
}

export function timelineOf(short: Shorthand): Timeline {
  return writtenTimeline(songOf(short));
}

/** The space between two phrases that is longest; the tests' songs have one that is meant. */
export function spaceIn(timeline: Timeline): Space {
  const between = findSpaces(timeline).filter((space) => space.kind === 'between');
  return between.reduce((longest, space) => (space.beats > longest.beats ? space : longest));
}

/** What one player asks for in that space, unless told otherwise: twelve offers, a usual hand, strokes toward the next string. */
export function requestFor(
  short: Shorthand,
  instrument: InstrumentName,
  more: Partial<OfferRequest> = {},
): OfferRequest {
  const timeline = timelineOf(short);
  return {
    timeline,
    space: spaceIn(timeline),
    setup: plainSetup(instrument),
    rule: 'toward',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    count: 12,
    ...more,
  };
}

/** The offers of a request that must have an answer. */
export function offersFor(request: OfferRequest): readonly Offer[] {
  const offers = offerFills(request);
  if (!offers.ok) throw new Error(offers.error.what);
  return offers.value;
}

/** Offers for a player as they come, so many at most. */
export const offersIn = (short: Shorthand, instrument: InstrumentName, count = 12): readonly Offer[] =>
  offersFor(requestFor(short, instrument, { count }));

/** Two phrases with a space of six beats between them: from beat 3 of bar 1 to the end of bar 2. */
export const SIX_BEATS: Shorthand = {
  chords: ['G', 'C', 'G', 'D', 'G'],
  sung: [
    [0, 1, 1, 67],
    [0, 2, 1, 69],
    [0, 3, 1, 71],
    [0, 4, 1, 69],
    [1, 1, 2, 67],
    [3, 1, 1, 69],
    [3, 2, 1, 66],
    [3, 3, 1, 69],
    [3, 4, 1, 66],
    [4, 1, 4, 67],
  ],
};

/** The same with a space of four beats: bar 2. */
export const FOUR_BEATS: Shorthand = {
  ...SIX_BEATS,
  sung: SIX_BEATS.sung.map(([bar, beat, beats, midi]) => [bar, beat, bar === 1 ? 4 : beats, midi] as const),
};

/** The worked case: the voice lets go as beat 2 begins and comes in on beat 3 of the following bar. */
export const FIVE_BEATS: Shorthand = {
  chords: ['G', 'G', 'D', 'G'],
  sung: [
    [0, 1, 1, 67],
    [0, 2, 1, 69],
    [0, 3, 2, 71],
    [1, 1, 1, 67],
    [2, 3, 1, 69],
    [2, 4, 1, 66],
    [3, 1, 4, 67],
  ],
};

const METERS = ['4/4', '3/4', '2/4', '2/2', '6/8'] as const;
const CHORDS: Readonly<Record<string, readonly string[]>> = {
  G: ['G', 'C', 'D', 'Em', 'D7', 'A7'],
  D: ['D', 'G', 'A', 'Bm', 'A7', 'E7'],
  A: ['A', 'D', 'E', 'F#m', 'E7', 'B7'],
  C: ['C', 'F', 'G', 'Am', 'G7', 'D7'],
  Em: ['Em', 'D', 'Am', 'Bm', 'G', 'B7'],
  Bb: ['Bb', 'Eb', 'F', 'Gm', 'F7', 'Cm'],
};

/** A song made by chance: a phrase, a space of one to two bars, a phrase; any meter, some pickups and crooked bars. */
export function generatedSong(seed: number): Shorthand {
  const random = randomFrom(seed);
  const pick = <T>(items: readonly T[]): T => itemAt(items, Math.floor(random() * items.length));
  const meter = pick(METERS);
  const beats = { '4/4': 4, '3/4': 3, '2/4': 2, '2/2': 2, '6/8': 2 }[meter];
  const key = pick(Object.keys(CHORDS));
  const chord = () => pick(must(CHORDS[key], 'chords of the key'));
  const pickup = random() < 0.3 ? 1 : undefined;
  const first = pickup === undefined ? 0 : 1;
  const silent = beats === 2 ? 3 : 2;
  const count = first + 2 + silent + 3;
  const chords = Array.from({ length: count }, (_, i) =>
    random() < 0.08 ? '' : i >= first + 2 && random() < 0.4 ? `${chord()} ${chord()}` : chord(),
  );
  const midi = () => 60 + Math.floor(random() * 14);
  const sung: [number, number, number, number][] = [];
  if (pickup !== undefined) sung.push([0, 1, 1, midi()]);
  for (let beat = 1; beat <= beats; beat++) sung.push([first, beat, 1, midi()]);
  sung.push([first + 1, 1, 1, midi()]);
  const entry = first + 2 + silent;
  for (let beat = 1 + Math.floor(random() * beats); beat <= beats; beat++)
    sung.push([entry, beat, 1, midi()]);
  for (let beat = 1; beat <= beats; beat++) sung.push([entry + 1, beat, 1, midi()]);
  return {
    key,
    meter,
    chords,
    sung,
    tempo: meter === '6/8' ? 90 + Math.floor(random() * 60) : 60 + Math.floor(random() * 180),
    ...(random() < 0.25 ? { crooked: { [first + 2]: beats + 1 } } : {}),
    ...(pickup === undefined ? {} : { pickup }),
  };
}
