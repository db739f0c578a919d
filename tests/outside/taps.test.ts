import { describe, expect, it } from 'vitest';
import { itemAt, lastOf, randomFrom } from '@/lib/base';
import {
  type Clock,
  FREE_MODEL,
  type SnapInput,
  snapTaps,
  snapWithoutTempo,
  type TapBar,
  type TapEvent,
  type TapReading,
  tempoOfTaps,
} from '@/lib/taps';
import { barTicks, beatTicks, type Meter, parseMeter } from '@/lib/time';
import { type Singer, tapsOf } from './singers';

/*
 * Taps of simulated singers (singers.ts names the studies) against what they meant to sing. The rhythms are written out here by hand, as
 * a singer would sing such lines: Common practice, no source. Nothing in them comes from the code that reads the taps.
 */

/** Of each syllable: its beat from the song's start (from 0), its length in beats, and its stress. One row is a line. */
type Rhythm = readonly (readonly (readonly [beat: number, beats: number, stress: 0 | 1 | 2])[])[];

interface Piece {
  readonly name: string;
  readonly meter: string;
  readonly swing: number;
  readonly bars: number;
  readonly rhythm: Rhythm;
}

/** The same line again, so many beats later. */
const later = (line: Rhythm[number], beats: number): Rhythm[number] =>
  line.map(([beat, length, stress]) => [beat + beats, length, stress]);

const ON_THE_BEAT: Rhythm[number] = [
  [0, 1, 2],
  [1, 1, 0],
  [2, 1, 2],
  [3, 1, 0],
  [4, 1, 2],
  [5, 1, 0],
  [6, 2, 2],
];
const WITH_HALVES: Rhythm[number] = [
  [0, 0.5, 0],
  [0.5, 0.5, 1],
  [1, 1, 2],
  [2, 0.5, 0],
  [2.5, 1, 2],
  [3.5, 0.5, 0],
  [4, 1.5, 2],
  [5.5, 0.5, 0],
  [6, 3, 2],
];
const PUSHED: Rhythm[number] = [
  [0, 0.5, 2],
  [0.5, 1, 0],
  [1.5, 1, 2],
  [2.5, 1, 0],
  [3.5, 2, 2],
  [5.5, 0.5, 0],
  [6, 1, 2],
  [7, 2.5, 2],
];
const WALTZ: Rhythm[number] = [
  [0, 2, 2],
  [2, 1, 0],
  [3, 1, 2],
  [4, 1, 0],
  [5, 1, 0],
  [6, 2, 2],
  [8, 0.5, 0],
  [8.5, 0.5, 0],
  [9, 2, 2],
];
/** In beats of a dotted quarter: thirds of it are eighths. */
const JIG: Rhythm[number] = [
  [0, 1 / 3, 2],
  [1 / 3, 1 / 3, 0],
  [2 / 3, 1 / 3, 0],
  [1, 2 / 3, 2],
  [5 / 3, 1 / 3, 0],
  [2, 2 / 3, 2],
  [8 / 3, 1 / 3, 0],
  [3, 1 + 2 / 3, 2],
];
const four = (line: Rhythm[number], beats: number): Rhythm => [0, 1, 2, 3].map((i) => later(line, i * beats));

const PIECES: readonly Piece[] = [
  { name: 'on the beat', meter: '4/4', swing: 1, bars: 16, rhythm: four(ON_THE_BEAT, 16) },
  { name: 'with half beats', meter: '4/4', swing: 1, bars: 16, rhythm: four(WITH_HALVES, 16) },
  { name: 'pushed ahead', meter: '4/4', swing: 1, bars: 16, rhythm: four(PUSHED, 16) },
  { name: 'swung halves', meter: '4/4', swing: 2, bars: 16, rhythm: four(WITH_HALVES, 16) },
  { name: 'waltz', meter: '3/4', swing: 1, bars: 16, rhythm: four(WALTZ, 12) },
  { name: 'six eight', meter: '6/8', swing: 1, bars: 12, rhythm: four(JIG, 6) },
];

const meterOf = (piece: Piece): Meter => {
  const meter = parseMeter(piece.meter);
  if (!meter) throw new Error(piece.meter);
  return meter;
};

function barsOf(piece: Piece): TapBar[] {
  const meter = meterOf(piece);
  const full = barTicks(meter);
  return Array.from({ length: piece.bars }, (_, i) => ({
    id: `bar ${i}`,
    startTick: i * full,
    endTick: (i + 1) * full,
    meter,
    pickup: false,
  }));
}

/** Seconds of a beat (from 0), by hand: a swung half comes after two thirds of its beat. */
function secondsOf(piece: Piece, beatsPerMinute: number, beat: number): number {
  const whole = Math.floor(beat + 1e-9);
  const part = beat - whole;
  const sounding = piece.swing > 1 && Math.abs(part - 0.5) < 1e-9 ? piece.swing / (piece.swing + 1) : part;
  return ((whole + sounding) * 60) / beatsPerMinute;
}

interface Meant {
  readonly from: number;
  readonly to: number;
  readonly tick: number;
  readonly endTick: number;
  readonly stress: 0 | 1 | 2;
  readonly startsLine: boolean;
}

const START = 5;

function meantBy(piece: Piece, beatsPerMinute: number, by: 'lines' | 'syllables'): Meant[] {
  const beat = beatTicks(meterOf(piece));
  const at = (beats: number) => START + secondsOf(piece, beatsPerMinute, beats);
  return piece.rhythm.flatMap((line) => {
    if (by === 'syllables')
      return line.map(
        ([from, length, stress], i): Meant => ({
          from: at(from),
          to: at(from + length),
          tick: Math.round(from * beat),
          endTick: Math.round((from + length) * beat),
          stress,
          startsLine: i === 0,
        }),
      );
    const [first, , stress] = itemAt(line, 0);
    const [last, length] = lastOf(line);
    return {
      from: at(first),
      to: at(last + length),
      tick: Math.round(first * beat),
      endTick: Math.round((last + length) * beat),
      stress,
      startsLine: true,
    };
  });
}

const eventsOf = (meant: readonly Meant[], written: (one: Meant) => number | null): TapEvent[] =>
  meant.map((one) => ({ stress: one.stress, startsLine: one.startsLine, writtenTick: written(one) }));

const clockOf = (piece: Piece, beatsPerMinute: number): Clock => ({
  quartersPerMinute: (beatsPerMinute * beatTicks(meterOf(piece))) / 960,
  zeroSeconds: START,
});

interface Score {
  right: number;
  all: number;
}

const share = ({ right, all }: Score): number => right / all;
const percent = (score: Score): string => `${(100 * share(score)).toFixed(1)} %`;

function count(score: Score, reading: TapReading, meant: readonly Meant[]): void {
  const byEvent = new Map(reading.snapped.map((one) => [one.event, one]));
  meant.forEach((one, i) => {
    score.all += 1;
    if (byEvent.get(i)?.tick === one.tick) score.right += 1;
  });
}

const SPREADS = [0.02, 0.03, 0.04, 0.06] as const;
const TEMPOS = [70, 100, 130, 160] as const;
/** Where drift and tempo are searched too, each reading takes longer. */
const FREE_TEMPOS = [80, 130] as const;
const FREE_SPREADS = [0.03, 0.06] as const;
const SEEDS = 2;
/** Milliseconds that a table may take on a busy machine. */
const PATIENCE = 180_000;

const singer = (seed: number, spread: number, drift = 0): Singer => {
  const random = randomFrom(seed);
  return { random, spread, lean: -0.01 - 0.05 * random(), drift };
};

function scoreOf(
  pieces: readonly Piece[],
  spread: number,
  tempo: number,
  read: (piece: Piece, seed: number, score: Score) => void,
  seeds = SEEDS,
): Score {
  const score = { right: 0, all: 0 };
  pieces.forEach((piece, p) => {
    for (let seed = 0; seed < seeds; seed++)
      read(piece, 7919 * seed + 101 * p + tempo + Math.round(spread * 1e5), score);
  });
  return score;
}

function table(
  title: string,
  of: (spread: number, tempo: number) => Score,
  tempos: readonly number[] = TEMPOS,
  spreads: readonly number[] = SPREADS,
): Map<string, Score> {
  const scores = new Map<string, Score>();
  const rows = [
    `${title}: share on the right grid place`,
    `${'spread'.padEnd(10)}${tempos.map((t) => `${t}/min`.padStart(10)).join('')}`,
  ];
  for (const spread of spreads) {
    const row = tempos.map((tempo) => {
      const score = of(spread, tempo);
      scores.set(`${spread} ${tempo}`, score);
      return percent(score).padStart(10);
    });
    rows.push(`${`${spread * 1000} ms`.padEnd(10)}${row.join('')}`);
  }
  console.log(rows.join('\n'));
  return scores;
}

const inputOf = (
  piece: Piece,
  meant: readonly Meant[],
  taps: SnapInput['taps'],
  tempo: number,
): SnapInput => ({
  taps,
  events: eventsOf(meant, () => null),
  bars: barsOf(piece),
  swing: piece.swing,
  clock: clockOf(piece, tempo),
  isOver: true,
});

/** The least share that must be right, by spread: at 70 to 130 beats a minute, and at 160. */
function expectAtLeast(
  scores: ReadonlyMap<string, Score>,
  least: Readonly<Record<number, readonly [number, number]>>,
): void {
  for (const [name, bounds] of Object.entries(least)) {
    const spread = Number(name);
    for (const [key, score] of scores) {
      if (!key.startsWith(`${spread} `)) continue;
      const tempo = Number(key.split(' ')[1]);
      expect(share(score), `${spread * 1000} ms at ${tempo}`).toBeGreaterThanOrEqual(
        bounds[tempo < 160 ? 0 : 1],
      );
    }
  }
}

describe('simulated singers', () => {
  it('tap every syllable to a heard beat', { timeout: PATIENCE }, () => {
    const scores = table('syllables to a heard beat', (spread, tempo) =>
      scoreOf(PIECES, spread, tempo, (piece, seed, score) => {
        const meant = meantBy(piece, tempo, 'syllables');
        count(score, snapTaps(inputOf(piece, meant, tapsOf(meant, singer(seed, spread)), tempo)), meant);
      }),
    );
    expectAtLeast(scores, {
      0.02: [0.995, 0.995],
      0.03: [0.99, 0.98],
      0.04: [0.97, 0.95],
      0.06: [0.88, 0.82],
    });
  });

  it('hold a key for every line to a heard beat', () => {
    const ends: Score = { right: 0, all: 0 };
    const scores = table('starts of lines to a heard beat', (spread, tempo) =>
      scoreOf(PIECES, spread, tempo, (piece, seed, score) => {
        const meant = meantBy(piece, tempo, 'lines');
        const reading = snapTaps(inputOf(piece, meant, tapsOf(meant, singer(seed, spread)), tempo));
        count(score, reading, meant);
        for (const one of reading.snapped) {
          ends.all += 1;
          if (one.tick + one.ticks === meant[one.event]?.endTick) ends.right += 1;
        }
      }),
    );
    console.log(`their ends, over all spreads and tempos: ${percent(ends)}`);
    expectAtLeast(scores, { 0.02: [0.99, 0.99], 0.03: [0.98, 0.95], 0.04: [0.95, 0.93], 0.06: [0.85, 0.82] });
    expect(share(ends)).toBeGreaterThanOrEqual(0.82);
  });

  it('double a tap, or leave one out', { timeout: PATIENCE }, () => {
    const scores = table('syllables with one double tap or one missed', (spread, tempo) =>
      scoreOf(
        PIECES,
        spread,
        tempo,
        (piece, seed, score) => {
          const meant = meantBy(piece, tempo, 'syllables');
          const at = 2 + (seed % (meant.length - 4));
          const slips = (PIECES.indexOf(piece) + tempo / 10) % 2 === 0 ? { doubled: at } : { missed: at };
          const reading = snapTaps(inputOf(piece, meant, tapsOf(meant, singer(seed, spread), slips), tempo));
          // Which syllable of its line went without a tap cannot be told from times: the line itself is not counted, all others are.
          const line = lineOf(meant, at);
          const byEvent = new Map(reading.snapped.map((one) => [one.event, one]));
          meant.forEach((one, i) => {
            if (slips.missed !== undefined && lineOf(meant, i) === line) return;
            score.all += 1;
            if (byEvent.get(i)?.tick === one.tick) score.right += 1;
          });
        },
        1,
      ),
    );
    expectAtLeast(scores, { 0.02: [0.97, 0.97], 0.03: [0.97, 0.95], 0.04: [0.94, 0.9], 0.06: [0.84, 0.78] });
  });

  it('hear a count-in alone, and grow three per cent faster', { timeout: PATIENCE }, () => {
    const scores = table(
      'syllables after a count-in, 3 per cent faster at the end',
      (spread, tempo) =>
        scoreOf(
          PIECES,
          spread,
          tempo,
          (piece, seed, score) => {
            const meant = meantBy(piece, tempo, 'syllables').map((one) => ({
              ...one,
              from: one.from - START,
              to: one.to - START,
            }));
            const taps = tapsOf(meant, singer(seed, spread, 0.03)).map(({ downSeconds, upSeconds }) => ({
              downSeconds: downSeconds + START,
              upSeconds: upSeconds + START,
            }));
            count(score, snapTaps(inputOf(piece, meant, taps, tempo), FREE_MODEL), meant);
          },
          1,
        ),
      FREE_TEMPOS,
      FREE_SPREADS,
    );
    expectAtLeast(scores, { 0.03: [0.97, 0.97], 0.06: [0.8, 0.8] });
  });

  it('tap without a tempo: it and the start are found from the taps', { timeout: PATIENCE }, () => {
    const tempos: Score = { right: 0, all: 0 };
    const scores = table(
      'syllables without a tempo',
      (spread, tempo) =>
        scoreOf(
          PIECES,
          spread,
          tempo,
          (piece, seed, score) => {
            const meant = meantBy(piece, tempo, 'syllables');
            const { clock, ...rest } = inputOf(piece, meant, tapsOf(meant, singer(seed, spread)), tempo);
            // The song as written has each line where its chords begin, and says nothing of its syllables.
            const events = eventsOf(meant, (one) => (one.startsLine ? one.tick : null));
            const reading = snapWithoutTempo({ ...rest, events });
            if (!reading.ok) throw new Error(reading.error.what);
            tempos.all += 1;
            const ratio = reading.value.clock.quartersPerMinute / clock.quartersPerMinute;
            if (Math.abs(ratio - 1) < 0.01) tempos.right += 1;
            count(score, reading.value, meant);
          },
          1,
        ),
      FREE_TEMPOS,
      FREE_SPREADS,
    );
    console.log(`tempo found within one per cent: ${percent(tempos)}`);
    expect(share(tempos)).toBeGreaterThanOrEqual(0.9);
    expectAtLeast(scores, { 0.03: [0.97, 0.97], 0.06: [0.85, 0.85] });
  });

  it('tap a tempo', () => {
    const rows: string[] = [];
    for (const spread of SPREADS) {
      const errors: number[] = [];
      for (let seed = 0; seed < 40; seed++) {
        const tempo = 70 + 5 * (seed % 20);
        const meant = Array.from({ length: 17 }, (_, i) => ({
          from: (i * 60) / tempo,
          to: (i * 60) / tempo + 0.1,
        }));
        // Every third tapper leaves a beat out.
        const taps = tapsOf(meant, singer(seed, spread), seed % 3 === 0 ? { missed: 6 } : {});
        const found = tempoOfTaps(
          taps.map(({ downSeconds }) => downSeconds),
          { count: 4, unit: 4 },
          0,
        );
        if (!found.ok) throw new Error(found.error.what);
        errors.push(Math.abs(found.value.tempo / tempo - 1));
        expect(found.value.range.low).toBeLessThanOrEqual(found.value.tempo);
        expect(found.value.range.high).toBeGreaterThanOrEqual(found.value.tempo);
      }
      errors.sort((a, b) => a - b);
      const [median, most] = [itemAt(errors, 20), lastOf(errors)];
      rows.push(
        `${spread * 1000} ms: off by ${(100 * median).toFixed(2)} % in the median, ${(100 * most).toFixed(2)} % at most`,
      );
      expect(median).toBeLessThanOrEqual(0.01);
      expect(most).toBeLessThanOrEqual(0.04);
    }
    console.log(`a tempo from 17 taps\n${rows.join('\n')}`);
  });
});

/** The line that a syllable stands in, from 1. */
const lineOf = (meant: readonly Meant[], index: number): number =>
  meant.slice(0, index + 1).filter(({ startsLine }) => startsLine).length;
