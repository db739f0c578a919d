import { describe, expect, test } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import {
  type Away,
  type BackupRequest,
  chopThrough,
  keepsTheChop,
  offerFills,
  planBackup,
  walkInto,
} from '../../../lib/fills';
import { type InstrumentName, plainSetup } from '../../../lib/instruments';
import type { FillNote } from '../../../lib/song';
import { parseChord, parseKey, pitchName } from '../../../lib/theory';
import { FIVE_BEATS, type Shorthand, spaceIn, timelineOf } from './songs';

const PLAYERS = ['guitar', 'mandolin', 'banjo', 'resonator guitar', 'bass', 'fiddle'] as const;
const FOUR_CHORDS: Shorthand = { chords: ['G', 'C', 'D7', 'Em'], sung: [[0, 1, 4, 67]] };

function backup(name: InstrumentName, song: Shorthand, more: Partial<BackupRequest> = {}) {
  const timeline = timelineOf(song);
  const found = planBackup({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup: plainSetup(name),
    away: [],
    keepsChop: [],
    ...more,
  });
  if (!found.ok) throw new Error(found.error.what);
  return { timeline, ...found.value };
}
const beatsIn = (notes: readonly FillNote[], barTicks: number, beat = 960) => [
  ...new Set(notes.map((note) => (note.tick % barTicks) / beat + 1)),
];
const names = (notes: readonly FillNote[]) =>
  notes.map((note) => pitchName(note.midi, 'sharps').slice(0, -1));

/* Source: Common practice, no source: which beats; see BACKUP_PATTERNS. */
describe('the beats of backup', () => {
  test.each([
    ['mandolin', '4/4', [2, 4]],
    ['banjo', '4/4', [2, 4]],
    ['resonator guitar', '4/4', [2, 4]],
    ['mandolin', '3/4', [2, 3]],
    ['banjo', '3/4', [2, 3]],
    ['mandolin', '2/4', [2]],
    ['bass', '4/4', [1, 3]],
    ['bass', '3/4', [1]],
    ['guitar', '4/4', [1, 2, 3, 4]],
    ['guitar', '3/4', [1, 2, 3]],
    // Cut time is counted in quarters.
    ['mandolin', '2/2', [2, 4]],
    ['bass', '2/2', [1, 3]],
  ] as const)('%s in %s', (name, meter, beats) => {
    const { notes } = backup(name, { ...FOUR_CHORDS, meter, sung: [] });
    const bar = { '4/4': 3840, '3/4': 2880, '2/4': 1920, '2/2': 3840 }[meter];
    expect(beatsIn(notes, bar)).toEqual(beats);
  });

  test('in 6/8 the guitar has a bass note on each beat and a strum on the last eighth of it, the mandolin beat 2', () => {
    const song = { ...FOUR_CHORDS, meter: '6/8', sung: [] };
    expect(beatsIn(backup('guitar', song).notes, 2880, 480)).toEqual([1, 3, 4, 6]);
    expect(beatsIn(backup('mandolin', song).notes, 2880, 1440)).toEqual([2]);
  });

  test('a bar that is a beat too long goes on with the pattern, one too short breaks off', () => {
    const long = backup('guitar', { ...FOUR_CHORDS, crooked: { 1: 5 }, sung: [] });
    expect(
      beatsIn(
        long.notes.filter((note) => note.tick >= 3840 && note.tick < 8640),
        99_999,
      ),
    ).toEqual([5, 6, 7, 8, 9]);
    const short = backup('banjo', { ...FOUR_CHORDS, crooked: { 1: 3 }, sung: [] });
    expect([...new Set(short.notes.map((note) => note.tick / 960))]).toEqual([1, 3, 5, 8, 10, 12, 14]);
  });

  test('two chords in a bar: each strum and each bass note on its own', () => {
    const { notes } = backup('guitar', { chords: ['G D', 'C G'], sung: [] });
    const bass = notes.filter((note) => note.tick % 1920 === 0);
    expect(names(bass)).toEqual(['G', 'D', 'C', 'G']);
  });

  test('a pickup is left to who has it', () => {
    for (const name of PLAYERS)
      expect(itemAt(backup(name, { ...FOUR_CHORDS, pickup: 1 }).notes, 0).tick).toBeGreaterThanOrEqual(960);
  });
});

describe('bass notes', () => {
  test('of the guitar: root on 1, fifth on 3, also where another string has to be reached', () => {
    // Source, from memory: alternating bass as tutors print it: G with D, C with G, D with A, A minor with E.
    const { notes } = backup('guitar', { chords: ['G', 'C', 'D', 'Am', 'G'], sung: [] });
    const bass = notes.filter((note) => note.tick % 1920 === 0);
    expect(names(bass)).toEqual(['G', 'D', 'C', 'G', 'D', 'A', 'A', 'E', 'G', 'G']);
  });

  test('of the bass: in a waltz root and fifth from bar to bar of one chord', () => {
    const { notes } = backup('bass', { meter: '3/4', chords: ['G', 'G', 'G', 'C', 'C', 'C'], sung: [] });
    expect(names(notes.filter((note) => note.tick % 2880 === 0))).toEqual(['G', 'D', 'G', 'C', 'G', 'C']);
  });

  test('of the bass: a walk by step into a new chord, once the old one has held two bars', () => {
    const { notes, reasons } = backup('bass', { chords: ['G', 'G', 'C', 'C', 'G', 'G'], sung: [] });
    expect(names(notes)).toEqual('G D G A B C G C B A G D G G'.split(' '));
    expect(reasons.some((reason) => reason.rule === 'walks')).toBe(true);
    for (const at of [3, 4, 5]) {
      const step = Math.abs(itemAt(notes, at).midi - itemAt(notes, at - 1).midi);
      expect(step).toBeGreaterThanOrEqual(1);
      expect(step).toBeLessThanOrEqual(2);
    }
  });

  // Source, from memory: scales of G and C major: what lies between the basses.
  test.each([
    ['G', 'C', 'A B'],
    ['G', 'D', 'F# E'],
    ['C', 'G', 'B A'],
    ['G', 'Em', 'F#'],
    ['Em', 'C', 'D'],
    ['A7', 'D', 'B C#'],
    ['G', 'D/F#', null],
    ['G', 'Am', null],
  ])('from %s to %s: %s', (from, to, way) => {
    const chord = (symbol: string) => must(parseChord(symbol), symbol);
    const path = walkInto(chord(from), chord(to), must(parseKey('G'), 'G'));
    expect(path?.map((each) => pitchName(each + 60, 'sharps').slice(0, -1)).join(' ') ?? null).toBe(way);
  });

  test('of a slash chord: what stands after the slash, then the root', () => {
    const { notes } = backup('bass', { chords: ['D/F#', 'G'], sung: [] });
    expect(names(notes).slice(0, 2)).toEqual(['F#', 'D']);
  });
});

/* Source: Common practice, no source: a song closes on the root, and the last chord is let ring. */
describe('the close', () => {
  const waltz: Shorthand = { meter: '3/4', chords: ['G', 'D', 'G', 'G'], sung: [] };

  test('the guitar strikes the last chord whole, the root below, and lets it ring', () => {
    const { notes, timeline } = backup('guitar', waltz);
    const last = notes.filter((note) => note.tick === itemAt(notes, notes.length - 1).tick);
    expect(last.length).toBeGreaterThanOrEqual(4);
    expect(names([itemAt(last, 0)])).toEqual(['G']);
    for (const note of last) expect(note.tick + note.ticks).toBe(timeline.endTick);
  });

  test('the bass has its turn of the fifth, but not at the end', () => {
    expect(names(backup('bass', waltz).notes)).toEqual(['G', 'D', 'G', 'G']);
    expect(names(backup('bass', { ...waltz, chords: ['G', 'G', 'G'] }).notes)).toEqual(['G', 'D', 'G']);
  });

  test('a fiddle has the root in its last double-stop', () => {
    for (const symbol of ['G', 'C', 'D', 'A', 'E', 'F', 'Bb', 'Em', 'Am'])
      expect(names(backup('fiddle', { chords: [symbol], sung: [] }).notes)).toContain(
        symbol.replace('m', '').replace('Bb', 'A#'),
      );
  });

  test('nothing closes where the song goes on, or a fill of the player comes last', () => {
    const middle = backup('bass', waltz, { endTick: 5760 });
    expect(names(middle.notes)).toEqual(['G', 'D']);
    const away = [{ startTick: 10_560, endTick: 11_520, notes: [] }];
    const { notes } = backup('guitar', waltz, { away });
    const end = itemAt(notes, notes.length - 1).tick;
    expect(notes.filter((note) => note.tick === end).length).toBeLessThanOrEqual(3);
  });
});

describe('around a fill', () => {
  const away = [{ startTick: 4000, endTick: 7200, notes: [] }];

  test.each(PLAYERS)('the %s plays each beat before and after it and none in it', (name) => {
    const all = backup(name, FOUR_CHORDS).notes;
    const { notes } = backup(name, FOUR_CHORDS, { away });
    for (const note of notes) expect(note.tick + note.ticks <= 4000 || note.tick >= 7200).toBe(true);
    if (name === 'fiddle') return;
    // Each beat of the pattern is there, but those of the fill and what it would cut to a scrap.
    const ticks = (of: readonly FillNote[]) => [...new Set(of.map((note) => note.tick))];
    const kept = ticks(all).filter((tick) => tick < 3760 || tick >= 7200);
    const walked = name === 'bass' ? ticks(notes).filter((tick) => kept.includes(tick)) : ticks(notes);
    expect(walked.filter((tick) => tick !== 3840)).toEqual(kept);
  });

  test('the fiddle takes its bow up again where the fill ends', () => {
    const { notes } = backup('fiddle', FOUR_CHORDS, { away });
    expect([...new Set(notes.map((note) => note.tick))]).toEqual([0, 7680, 11520]);
    expect(notes.filter((note) => note.tick === 7680).every((note) => note.stroke === 'down')).toBe(true);
  });

  test('the hand chooses its shape by where the fill has left it', () => {
    const song: Shorthand = { chords: ['C', 'C', 'C', 'C'], sung: [] };
    const at = (fret: number): Away => ({
      startTick: 3840,
      endTick: 7680,
      notes: [3840, 6720].map((tick) => ({
        tick,
        ticks: 960,
        midi: 69 + fret,
        string: 2,
        fret,
        finger: 1,
        articulation: 'struck',
        stroke: 'down',
        strokeRule: null,
        exception: false,
      })),
    });
    const place = (fill: Away) => {
      const { notes } = backup('mandolin', song, { away: [fill] });
      return Math.min(...notes.filter((note) => note.tick >= 7680).map((note) => note.fret));
    };
    expect(place(at(2))).toBeLessThan(place(at(9)));
  });

  test('a fill that is offered hands over and takes back without a bar torn', () => {
    const timeline = timelineOf(FIVE_BEATS);
    const space = spaceIn(timeline);
    const setup = plainSetup('guitar');
    const offers = offerFills({
      timeline,
      space,
      setup,
      rule: 'toward',
      spanMillimetres: null,
      comfortEighthsPerMinute: null,
      count: 1,
    });
    if (!offers.ok) throw new Error(offers.error.what);
    const fill = itemAt(offers.value, 0).notes;
    const end = Math.max(...fill.map((note) => note.tick + note.ticks));
    const away = [{ startTick: itemAt(fill, 0).tick, endTick: end, notes: fill }];
    const { notes } = backup('guitar', FIVE_BEATS, { away });
    const together = [...notes, ...fill].sort((a, b) => a.tick - b.tick);
    // Nowhere is there a silence of more than a beat, nor two things at once.
    for (let beat = 0; beat < timeline.endTick; beat += 960)
      expect(together.some((note) => note.tick >= beat && note.tick < beat + 960)).toBe(true);
    expect(notes.every((note) => note.tick + note.ticks <= itemAt(fill, 0).tick || note.tick >= end)).toBe(
      true,
    );
  });
});

describe('loud and soft', () => {
  test('soft under the voice, half loud where nobody sings', () => {
    // The voice sings beats 1 to 5 and comes in again on beat 3 of bar 3.
    expect(backup('guitar', FIVE_BEATS).dynamics).toEqual([
      { tick: 0, mark: 'p' },
      { tick: 4800, mark: 'mf' },
      { tick: 9600, mark: 'p' },
    ]);
    expect(backup('guitar', { chords: ['G'], sung: [] }).dynamics).toEqual([{ tick: 0, mark: 'mf' }]);
  });
});

describe('who keeps the chop', () => {
  const band = (['guitar', 'mandolin', 'banjo', 'bass'] as const).map((each) => ({
    id: each,
    setup: plainSetup(each),
  }));

  test('the mandolin, or the banjo while the mandolin has the fill', () => {
    expect(keepsTheChop(band, 'guitar')).toBe('mandolin');
    expect(keepsTheChop(band, 'mandolin')).toBe('banjo');
    expect(keepsTheChop([itemAt(band, 0)], 'guitar')).toBeNull();
  });

  test('through a verse: stretches without a hole', () => {
    const fills = [
      { playerId: 'mandolin', startTick: 1000, endTick: 3000 },
      { playerId: 'banjo', startTick: 2000, endTick: 4000 },
    ];
    expect(chopThrough(band, fills, 0, 5000)).toEqual([
      { startTick: 0, endTick: 1000, playerId: 'mandolin' },
      { startTick: 1000, endTick: 2000, playerId: 'banjo' },
      { startTick: 2000, endTick: 3000, playerId: 'guitar' },
      { startTick: 3000, endTick: 5000, playerId: 'mandolin' },
    ]);
  });

  test('a fiddle that keeps it chops softly on the off-beats, low down, and goes back to long notes', () => {
    const { notes } = backup('fiddle', FOUR_CHORDS, { keepsChop: [{ startTick: 3840, endTick: 7680 }] });
    const inside = notes.filter((note) => note.tick >= 3840 && note.tick < 7680);
    expect([...new Set(inside.map((note) => note.tick))]).toEqual([4800, 6720]);
    expect(inside.every((note) => note.stroke === 'down' && note.ticks <= 240 && note.string >= 3)).toBe(
      true,
    );
    expect(notes.some((note) => note.tick === 7680 && note.ticks === 3840)).toBe(true);
  });
});

describe('where no chords are written', () => {
  // G, C and G spelled out, a note a beat. Source, from memory: the triads of G and C.
  const arpeggios = ([67, 71, 74, 71, 72, 76, 79, 76, 67, 71, 74, 67] as const).map(
    (midi, i) => [Math.floor(i / 4), (i % 4) + 1, 1, midi] as const,
  );
  const unwritten: Shorthand = { chords: ['', '', ''], sung: arpeggios };

  test.each(PLAYERS)('the %s goes by what is sung, and says so', (name) => {
    const { notes, reasons, chordsWorkedOut } = backup(name, unwritten);
    expect(chordsWorkedOut?.map(({ symbol, startTick }) => [symbol, startTick])).toEqual([
      ['G', 0],
      ['C', 3840],
      ['G', 7680],
    ]);
    expect(reasons.map(({ rule }) => rule)).toContain('no chords');
    const within = (from: number, tones: string) =>
      names(notes.filter((note) => note.tick >= from && note.tick < from + 3840)).every((each) =>
        tones.split(' ').includes(each),
      );
    expect([within(0, 'G B D'), within(3840, 'C E G'), within(7680, 'G B D')]).toEqual([true, true, true]);
  });

  test('chords that are written stand, and are not said to be worked out', () => {
    const { reasons, chordsWorkedOut } = backup('guitar', { chords: ['Em', '', ''], sung: arpeggios });
    expect(chordsWorkedOut).toBeNull();
    expect(reasons.map(({ rule }) => rule)).not.toContain('no chords');
  });

  test.each(PLAYERS)('nor sung, the %s rests and no way of playing is named', (name) => {
    const { notes, family, reasons, dynamics } = backup(name, { chords: ['', ''], sung: [] });
    expect([notes, dynamics, family]).toEqual([[], [], 'rest']);
    expect(reasons.map(({ detail }) => detail)).toEqual([
      'no chords are written or sung here: nothing to play',
    ]);
  });
});

test('what is played is what is said of it', () => {
  const says = (name: InstrumentName, song: Shorthand, more: Partial<BackupRequest> = {}) =>
    itemAt(backup(name, song, more).reasons, 0).detail;
  const halves: Shorthand = { chords: ['G C', 'D G'], sung: [] };
  expect(says('guitar', { chords: ['G', 'C'], sung: [] })).toContain('fifth');
  expect(says('guitar', halves)).not.toContain('fifth');
  expect(says('bass', { chords: ['G', 'C'], sung: [] })).toContain('fifth');
  expect(says('bass', halves)).not.toContain('fifth');
  expect(says('fiddle', { chords: ['G', 'C'], sung: [] })).toContain('a bow to a bar');
  expect(says('fiddle', halves)).toContain('a bow to a chord');
  const keepsChop = [{ startTick: 0, endTick: 7680 }];
  expect(says('fiddle', { chords: ['G', 'C'], sung: [] }, { keepsChop })).toBe('soft chops on the off-beats');
});

test('a voice plays no backup', () => {
  const timeline = timelineOf(FOUR_CHORDS);
  const found = planBackup({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup: plainSetup('voice'),
    away: [],
    keepsChop: [],
  });
  expect(found.ok).toBe(false);
});
