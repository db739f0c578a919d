import { describe, expect, it } from 'vitest';
import { deepFreeze } from '../../../lib/base';
import {
  type Articulation,
  chordShape,
  DEFAULT_SPAN_MILLIMETRES,
  type InstrumentName,
  type NoteToPlan,
  openStrings,
  plainSetup,
  planHand,
  type Setup,
} from '../../../lib/instruments';

interface Row {
  readonly midi: number;
  readonly at?: number;
  readonly ticks?: number;
  readonly string?: number;
  readonly articulation?: Articulation;
}

const written = (rows: readonly (Row | number)[]): readonly NoteToPlan[] =>
  rows.map((row, index) => {
    const {
      midi,
      at = index * 480,
      ticks = 480,
      string,
      articulation = 'struck',
    }: Row = typeof row === 'number' ? { midi: row } : row;
    return { tick: at, ticks, midi, string: string ?? null, articulation };
  });

function plan(
  instrument: InstrumentName,
  rows: readonly (Row | number)[],
  setup: Partial<Setup> = {},
  span?: number,
) {
  return planHand(deepFreeze(written(rows)), {
    setup: { ...plainSetup(instrument), ...setup },
    spanMillimetres: span ?? DEFAULT_SPAN_MILLIMETRES[instrument],
    quartersPerMinute: 100,
  });
}

function places(...call: Parameters<typeof plan>): string {
  const planned = plan(...call);
  if (!planned.ok) throw new Error(planned.error.what);
  return planned.value.fingerings.map(({ string, fret, finger }) => `${string}:${fret}(${finger})`).join(' ');
}

function problem(...call: Parameters<typeof plan>) {
  const planned = plan(...call);
  if (planned.ok) throw new Error('it can be played');
  return planned.error;
}

describe('a hand plan', () => {
  it('of no notes costs nothing', () => {
    expect(plan('guitar', [])).toEqual({ ok: true, value: { fingerings: [], cost: 0, terms: [] } });
  });

  it('holds the notes of a roll together while they ring', () => {
    // C in open position: E on 4, G open, C on 2, the stopped ones held.
    const rings = [
      { midi: 52, string: 4, ticks: 1920 },
      { midi: 55, string: 3, ticks: 1440 },
      { midi: 60, string: 2, ticks: 960 },
    ];
    expect(places('guitar', rings)).toBe('4:2(2) 3:0(0) 2:1(1)');
  });

  it('keeps to the strings that a figure asks for', () => {
    expect(places('guitar', [{ midi: 59, string: 3 }])).toMatch(/^3:4/);
    expect(places('guitar', [59])).toBe('2:0(0)');
  });

  it('counts frets from the capo', () => {
    expect(places('guitar', [45, 47, 48, 49], { capo: 2 })).toBe('6:3(3) 5:0(0) 5:1(1) 5:2(2)');
    expect(places('banjo', [71, 69], { capo: 2, fifthCapo: null })).toMatch(/ 5:0\(0\)$/);
  });

  it('gives notes in any order in the order given', () => {
    const notes = [
      { midi: 47, at: 480 },
      { midi: 43, at: 0 },
    ];
    expect(places('guitar', notes)).toBe('5:2(2) 6:3(3)');
  });

  it('hammers on with a higher finger, pulls off to a lower or the open string, slides with the same', () => {
    const hammer: Row = { midi: 59, string: 3, articulation: 'hammer' };
    expect(places('banjo', [{ midi: 57, string: 3 }, hammer])).toMatch(/^3:2\(([12])\) 3:4\([34]\)$/);
    expect(
      places('banjo', [
        { midi: 57, string: 3 },
        { midi: 55, string: 3, articulation: 'pull' },
      ]),
    ).toMatch(/^3:2\(\d\) 3:0\(0\)$/);
    const slide = places('banjo', [
      { midi: 57, string: 3 },
      { midi: 59, string: 3, articulation: 'slide' },
    ]);
    expect(slide).toMatch(/^3:2\((\d)\) 3:4\(\1\)$/);
  });

  it('lays one finger over strings at one fret', () => {
    const barre = [65, 60, 56, 53].map((midi) => ({ midi, at: 0 }));
    expect(places('guitar', barre)).toBe('1:1(1) 2:1(1) 3:1(1) 4:3(3)');
  });

  it('slants a bar over two neighbouring strings, two frets at most, only where both are struck at once', () => {
    const slanted = [
      { midi: 56, string: 3, at: 0 },
      { midi: 62, string: 2, at: 0 },
    ];
    expect(places('resonator guitar', slanted)).toBe('3:1(1) 2:3(1)');
    const held = [
      { midi: 56, string: 3, at: 0, ticks: 960 },
      { midi: 62, string: 2, at: 480 },
    ];
    expect(problem('resonator guitar', held).what).toContain('no hand can');
  });

  it('keeps a straight bar on one fret, and pulls off it to the open string', () => {
    expect(
      places('resonator guitar', [
        { midi: 60, at: 0 },
        { midi: 64, at: 0 },
      ]),
    ).toBe('3:5(1) 2:5(1)');
    expect(
      places('resonator guitar', [
        { midi: 57, string: 3, ticks: 240 },
        { midi: 55, string: 3, at: 240, articulation: 'pull' },
      ]),
    ).toBe('3:2(1) 3:0(0)');
    expect(
      problem('resonator guitar', [
        { midi: 56, string: 3, at: 0 },
        { midi: 63, string: 2, at: 0 },
      ]).what,
    ).toContain('no hand can hold');
  });

  it('shows the terms of its cost, and they add up', () => {
    const planned = plan('guitar', [43, 47, 50, 55, 59, 67, 79, 43]);
    if (!planned.ok) throw new Error(planned.error.what);
    expect(planned.value.terms.map(({ rule }) => rule)).toContain('shift');
    expect(planned.value.terms.reduce((sum, { cost }) => sum + cost, 0)).toBeCloseTo(planned.value.cost, 9);
  });

  it('is the same for the same notes', () => {
    const rows = [55, 57, 59, 60, 62, 64, 66, 67, 69, 71, 72, 74];
    expect(places('mandolin', rows)).toBe(places('mandolin', rows));
  });
});

describe('what cannot be played', () => {
  it.each([
    ['a voice', 'voice', [60], {}, 'no strings', 'the player', 'instrument with strings'],
    [
      'a tuning that is not there',
      'banjo',
      [60],
      { tuning: 'drop D' },
      "no tuning 'drop D'",
      'setup',
      'choose one of',
    ],
    ['a pitch below', 'guitar', [50, 30], {}, 'F#1', 'note 2 of 2, at tick 480', 'octave'],
    [
      'a string without it',
      'guitar',
      [{ midi: 50, string: 1 }],
      {},
      'string 1',
      'note 1 of 1',
      'another string',
    ],
    [
      'two notes on one string',
      'guitar',
      [
        { midi: 40, at: 0 },
        { midi: 41, at: 0 },
      ],
      {},
      'no hand can hold E2 F2',
      'note 1 of 2, at tick 0',
      'leave a note out',
    ],
    [
      'a chord too wide',
      'guitar',
      [
        { midi: 41, string: 6, at: 960 },
        { midi: 60, string: 3, at: 960 },
        { midi: 73, string: 1, at: 960 },
      ],
      {},
      'no hand can hold F2 C4 C#5',
      'at tick 960',
      'wider span',
    ],
    [
      'a string that still rings',
      'guitar',
      [
        { midi: 55, string: 3, ticks: 960 },
        { midi: 57, string: 3 },
      ],
      {},
      'while G3 rings',
      'note 2 of 2, at tick 480',
      'shorten what rings',
    ],
    [
      'a hammer-on from nowhere',
      'guitar',
      [{ midi: 57, articulation: 'hammer' as const }],
      {},
      'hammer',
      'note 1',
      'strike',
    ],
    [
      'a pull-off upward',
      'guitar',
      [55, { midi: 57, string: 3, articulation: 'pull' as const }],
      {},
      'pull',
      'note 2',
      'strike',
    ],
  ] as const)('%s says what, where and what to do', (_, instrument, rows, setup, what, where, mend) => {
    const error = problem(instrument, rows, setup);
    expect(error.what).toContain(what);
    expect(error.where).toContain(where);
    expect(error.mend).toContain(mend);
  });

  it('a tempo of 0', () => {
    const planned = planHand(written([60]), {
      setup: plainSetup('guitar'),
      spanMillimetres: 115,
      quartersPerMinute: 0,
    });
    expect(planned.ok).toBe(false);
  });

  it('with a small hand can be played with a larger', () => {
    const wide = [
      { midi: 41, string: 6, at: 0 },
      { midi: 49, string: 5, at: 0 },
    ];
    expect(problem('guitar', wide, {}, 60).mend).toContain('wider span');
    expect(places('guitar', wide, {}, 115)).toBe('6:1(1) 5:4(4)');
  });
});

describe('chord shapes', () => {
  it('stop the strings that a roll asks for, each of them', () => {
    const found = chordShape(plainSetup('guitar'), [0, 4, 7], { strings: [4, 3, 2], bass: null });
    if (!found.ok) throw new Error(found.error.what);
    expect(found.value[0]?.stops).toEqual([
      { string: 4, fret: 2, finger: 2 },
      { string: 3, fret: 0, finger: 0 },
      { string: 2, fret: 1, finger: 1 },
    ]);
    for (const { stops } of found.value) expect(stops.map(({ string }) => string)).toEqual([4, 3, 2]);
  });

  it('come cheapest first, sound chord tones only, and no more than were asked for', () => {
    for (const instrument of ['guitar', 'banjo', 'mandolin', 'resonator guitar'] as const) {
      for (const chord of [
        [7, 11, 2],
        [2, 6, 9],
        [9, 0, 4],
        [7, 11, 2, 5],
      ]) {
        const found = chordShape(plainSetup(instrument), chord, { count: 5, bass: null });
        if (!found.ok) throw new Error(found.error.what);
        const costs = found.value.map(({ cost }) => cost);
        expect(costs).toEqual([...costs].sort((a, b) => a - b));
        expect(costs.length).toBeLessThanOrEqual(5);
        const strings = openStrings(plainSetup(instrument));
        if (!strings.ok) throw new Error(strings.error.what);
        for (const { string, fret } of found.value.flatMap(({ stops }) => stops)) {
          expect(chord).toContain(((strings.value[string - 1]?.midi ?? 0) + fret) % 12);
        }
      }
    }
  });

  it('lie between the frets asked for', () => {
    const found = chordShape(plainSetup('guitar'), [7, 11, 2], {
      strings: [3, 2, 1],
      lowestFret: 3,
      highestFret: 8,
    });
    if (!found.ok) throw new Error(found.error.what);
    for (const { stops } of found.value) {
      for (const { fret } of stops) expect(fret === 0 || (fret >= 3 && fret <= 8)).toBe(true);
    }
  });

  it('that cannot be say so', () => {
    expect(chordShape(plainSetup('voice'), [0, 4, 7]).ok).toBe(false);
    expect(chordShape(plainSetup('mandolin'), [0, 4, 7], { strings: [6] }).ok).toBe(false);
    expect(chordShape({ ...plainSetup('guitar'), capo: 99 }, [0]).ok).toBe(false);
    expect(chordShape(plainSetup('guitar'), [1], { strings: [6, 5], highestFret: 3 }).ok).toBe(false);
  });
});
