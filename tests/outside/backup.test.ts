import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Chord as TonalChord, Note as TonalNote } from 'tonal';
import { describe, expect, test } from 'vitest';
import { makeIds, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { planBackup } from '../../lib/fills';
import { plainSetup, type Setup } from '../../lib/instruments';
import { type Timeline, writtenTimeline } from '../../lib/song';
import { generatedSong, timelineOf } from '../unit/fills/songs';
import { bassOf, fretFromNut, NECKS, openMidi } from './checker/facts';

/*
 * Backup for songs made by chance in every meter, some with a pickup or a crooked bar, judged by the checker's own tunings and fret
 * distances and by tonal's chords.
 * Source: Common practice, no source, but for what tests/outside/checker/facts.ts names beside each table.
 * Reference library: tonal (the tones of each chord symbol).
 */
const SONGS = 60;

/** Index to little finger, stretched. Common practice, no source. */
const SPANS: Readonly<Record<string, number>> = {
  guitar: 115,
  mandolin: 110,
  banjo: 115,
  fiddle: 105,
  'resonator guitar': 115,
  bass: 125,
};

/**
 * Where in a bar each touches, in quarters from its barline. Common practice, no source: boom-chuck 1 and 3, 2 and 4; chop and vamp 2 and 4, in a
 * waltz 2 and 3; bass 1 and 3, in a waltz 1. Cut time goes by quarters; in 6/8 the chop has the second beat, the guitar the last eighth of each.
 */
const OFF: Readonly<Record<string, readonly number[]>> = {
  '4/4': [1, 3],
  '2/2': [1, 3],
  '2/4': [1],
  '3/4': [1, 2],
  '6/8': [1.5],
};
const ON: Readonly<Record<string, readonly number[]>> = {
  '4/4': [0, 2],
  '2/2': [0, 2],
  '2/4': [0],
  '3/4': [0],
  '6/8': [0, 1.5],
};
const STRUMS: Readonly<Record<string, readonly number[]>> = { ...OFF, '6/8': [1, 2.5] };

const SETUPS: readonly Setup[] = [
  plainSetup('guitar'),
  { instrument: 'guitar', tuning: 'drop D', capo: 2, fifthCapo: null },
  plainSetup('mandolin'),
  { instrument: 'mandolin', tuning: 'standard', capo: 2, fifthCapo: null },
  plainSetup('banjo'),
  { instrument: 'banjo', tuning: 'double C', capo: 2, fifthCapo: null },
  plainSetup('resonator guitar'),
  plainSetup('fiddle'),
  { instrument: 'fiddle', tuning: 'cross A', capo: 0, fifthCapo: null },
  plainSetup('bass'),
];

const planned = (timeline: Timeline, setup: Setup) =>
  planBackup({ timeline, startTick: 0, endTick: timeline.endTick, setup, away: [], keepsChop: [] });

/** Two bars of a chord in a song that goes on. */
const inMidSong = (symbol: string, setup: Setup) =>
  planBackup({
    timeline: timelineOf({ chords: [symbol, symbol, symbol], sung: [] }),
    startTick: 0,
    endTick: 7680,
    setup,
    away: [],
    keepsChop: [],
  });

function tonesOf(symbol: string): ReadonlySet<number> {
  const tones = TonalChord.get(symbol).notes.map((name) => TonalNote.chroma(name));
  if (tones.length === 0) throw new Error(`tonal does not know ${symbol}`);
  return new Set(tones);
}

const named = ({ instrument, tuning, capo }: Setup) =>
  `${instrument}, ${tuning}${capo > 0 ? `, capo ${capo}` : ''}`;

describe.each(SETUPS.map((setup) => [named(setup), setup] as const))('the %s', (_, setup) => {
  const { instrument } = setup;
  const open = openMidi(instrument, setup.tuning, setup.capo, setup.fifthCapo);
  const { scale = 0, frets = 0 } = NECKS[instrument] ?? {};

  test('keeps to the beats, the chords, the neck and the hand', () => {
    const faults: string[] = [];
    let count = 0;
    let walked = 0;
    for (let seed = 1; seed <= SONGS; seed++) {
      const song = generatedSong(seed);
      const timeline = timelineOf(song);
      const backup = planned(timeline, setup);
      if (!backup.ok) {
        faults.push(`song ${seed}: ${backup.error.what}, ${backup.error.where}`);
        continue;
      }
      const { notes } = backup.value;
      notes.forEach((note, at) => {
        count += 1;
        const where = `song ${seed}, tick ${note.tick}, string ${note.string}`;
        const bar = timeline.barAt(note.tick);
        const quarter = (note.tick - bar.startTick) / 960;
        const meter = song.meter ?? '4/4';
        const chord = timeline.chords.find((each) => each.startTick <= note.tick && each.endTick > note.tick);
        const inChord = tonesOf(chord?.symbol ?? '').has(note.midi % 12);
        // A walk goes by step, on beats of its own, into a bass note on a downbeat.
        const after = notes[at + 1];
        const step = after ? Math.abs(after.midi - note.midi) : 0;
        const walks = instrument === 'bass' && step >= 1 && step <= 2;
        if (walks) walked += 1;
        if (!inChord && !walks) faults.push(`${where}: ${note.midi} is outside ${chord?.symbol}`);
        const strums = instrument === 'guitar' && note.string <= 3;
        const places =
          instrument === 'bass' || (instrument === 'guitar' && !strums) ? ON : strums ? STRUMS : OFF;
        const length = (bar.endTick - bar.startTick) / 960;
        const crooked = length !== { '4/4': 4, '2/2': 4, '2/4': 2, '3/4': 3, '6/8': 3 }[meter];
        // The song's last touch on a guitar is the whole chord, let ring.
        const closing = instrument === 'guitar' && note.tick === notes.at(-1)?.tick;
        if (instrument !== 'fiddle' && !crooked && !walks && !closing && !places[meter]?.includes(quarter))
          faults.push(`${where}: beat ${quarter + 1} of ${meter}`);
        if (bar.bar.pickup) faults.push(`${where}: in the pickup`);
        if ((open.get(note.string) ?? 0) + note.fret !== note.midi) faults.push(`${where}: not its pitch`);
        if (note.fret < 0 || setup.capo + note.fret > frets) faults.push(`${where}: no such fret`);
        if ((note.fret === 0) !== (note.finger === 0)) faults.push(`${where}: finger ${note.finger}`);
        if (note.ticks <= 0 || note.tick + note.ticks > timeline.endTick) faults.push(`${where}: length`);
        for (const other of notes.slice(at + 1)) {
          if (other.tick >= note.tick + note.ticks) break;
          if (other.string === note.string) faults.push(`${where}: sounds twice at once`);
          if (other.tick !== note.tick || other.fret === 0 || note.fret === 0) continue;
          const apart =
            fretFromNut(scale, setup.capo + other.fret) - fretFromNut(scale, setup.capo + note.fret);
          if (Math.abs(apart) > (SPANS[instrument] ?? 0) + 1) faults.push(`${where}: too wide`);
          if (instrument === 'resonator guitar' && apart !== 0) faults.push(`${where}: a bar on two frets`);
          if (other.finger === note.finger && apart !== 0) faults.push(`${where}: a finger on two frets`);
        }
      });
      // Where a chord begins on a bass note's beat, that note is its root.
      if (instrument === 'guitar' || instrument === 'bass') {
        timeline.chords.forEach((chord, at) => {
          const first = notes.find((note) => note.tick === chord.startTick);
          const again = timeline.chords[at - 1]?.symbol === chord.symbol;
          if (
            first &&
            !again &&
            (instrument === 'bass' || first.string > 3) &&
            first.midi % 12 !== bassOf(chord.symbol)
          )
            faults.push(`song ${seed}: ${chord.symbol} begins over ${first.midi}`);
        });
      }
      // Common practice, no source: a song closes on its last chord's root, lowest where the instrument has the bass.
      const end = notes.at(-1)?.tick ?? 0;
      const last = notes.filter((note) => note.tick === end).map((note) => note.midi);
      const lastSymbol = timeline.chordAt(end)?.symbol ?? '';
      const lowest = Math.min(...last) % 12;
      if ((instrument === 'guitar' || instrument === 'bass') && lowest !== bassOf(lastSymbol))
        faults.push(`song ${seed}: closes on ${lastSymbol} over ${lowest}`);
      const closing = tonesOf(lastSymbol).size === 3;
      if (closing && !last.some((midi) => midi % 12 === bassOf(lastSymbol)))
        faults.push(`song ${seed}: closes on ${lastSymbol} without its root`);
      // Every full bar with a chord is played in.
      for (const bar of timeline.bars) {
        const chord = timeline.chordAt(bar.startTick);
        if (bar.bar.pickup || !chord || chord.endTick < bar.endTick) continue;
        if (!notes.some((note) => note.tick < bar.endTick && note.tick + note.ticks > bar.startTick))
          faults.push(`song ${seed}, bar ${bar.number}: nothing is played`);
      }
    }
    expect(faults).toEqual([]);
    expect(count).toBeGreaterThan(300);
    // Most of the bass is root and fifth.
    expect(walked).toBeLessThan(count / 3);
  });
});

/*
 * Source: hymns of the Open Hymnal Project in four voices, as their files say: no chords stand in them. What is struck with a note of the lowest
 * voice ought to be what the four sing there.
 */
const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
const HYMNS_PRESENT = existsSync(HYMNS);
if (!HYMNS_PRESENT)
  console.log(
    'checks not made: ../shared/data/hymns is not beside the project (backup of hymns without chords)',
  );
describe.skipIf(!HYMNS_PRESENT)('hymns without chords', () => {
  const PLAYED = ['guitar', 'banjo', 'mandolin', 'fiddle', 'resonator guitar', 'bass'] as const;

  test('are backed up in the chords that their voices sing', async () => {
    let sungToo = 0;
    let struck = 0;
    let silent = 0;
    const files = readdirSync(HYMNS).filter((name) => name.endsWith('.abc'));
    for (const name of files.filter((_, i) => i % 3 === 0)) {
      const read = await readSongFile(name, readFileSync(join(HYMNS, name)), {
        makeId: makeIds(randomFrom(1)),
      });
      if (!read.ok) continue;
      const timeline = writtenTimeline(read.value.song);
      if (timeline.chords.length > 0 || timeline.notes.size < 4) continue;
      for (const instrument of PLAYED) {
        const backup = planned(timeline, plainSetup(instrument));
        if (!backup.ok || backup.value.notes.length === 0) {
          silent += 1;
          continue;
        }
        for (const { tick, midi } of backup.value.notes) {
          const sung = [...timeline.notes.values()].flatMap((voice) =>
            voice.filter((note) => note.startTick <= tick && note.endTick > tick),
          );
          const classes = sung.flatMap(({ note }) => (note.midi === null ? [] : [note.midi % 12]));
          // Fewer than three notes leave the chord open.
          if (new Set(classes).size < 3) continue;
          struck += 1;
          if (classes.includes(midi % 12)) sungToo += 1;
        }
      }
    }
    expect(struck).toBeGreaterThan(5000);
    expect(silent).toBe(0);
    // Fifths that no voice sings, sevenths and passing notes are the rest.
    expect(sungToo / struck).toBeGreaterThan(0.9);
  });
});

// Source, from memory: chop shapes as mandolin players print them, fourth course first: G 7523 (or its lower three), D 245x.
test.each([
  ['G', ['7523', '752x']],
  ['D', ['245x', '2452']],
])('the mandolin chops %s in a shape that players know', (symbol, shapes) => {
  const backup = inMidSong(symbol, plainSetup('mandolin'));
  if (!backup.ok) throw new Error(backup.error.what);
  const first = backup.value.notes.filter((note) => note.tick === 960);
  const drawn = [4, 3, 2, 1]
    .map((string) => first.find((note) => note.string === string)?.fret ?? 'x')
    .join('');
  expect(shapes).toContain(drawn);
});

/*
 * Sevenths sound in what is strummed, chopped, vamped and bowed, and a chop stays within a hand.
 * Reference library: tonal (the tones of each chord symbol). Common practice, no source: three fingers, three or four frets for a chop.
 */
describe('seventh chords in all keys', () => {
  const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  const touched = (symbol: string, setup: Setup) => {
    const backup = inMidSong(symbol, setup);
    if (!backup.ok) throw new Error(`${symbol}: ${backup.error.what}`);
    const { notes, reasons } = backup.value;
    const tick = setup.instrument === 'fiddle' ? 0 : 960;
    return { notes: notes.filter((note) => note.tick === tick), reasons };
  };
  const chromas = (symbol: string) => TonalChord.get(symbol).notes.map((name) => TonalNote.chroma(name));

  /** Of 48 tones asked for, these may go: B7 in first position has its third on the guitar's fourth string, A minor 7 none for three stopped strings. */
  test.each([
    ['guitar', 3],
    ['banjo', 2],
    ['mandolin', 0],
    ['fiddle', 0],
  ] as const)('the %s has seventh and third', (name, most) => {
    const lacking: string[] = [];
    for (const root of ROOTS)
      for (const suffix of ['7', 'm7']) {
        const [, third, , seventh] = chromas(root + suffix);
        const classes = touched(root + suffix, plainSetup(name)).notes.map((note) => note.midi % 12);
        if (!classes.includes(seventh ?? -1)) lacking.push(`${root}${suffix}: seventh`);
        if (!classes.includes(third ?? -1)) lacking.push(`${root}${suffix}: third`);
      }
    expect(lacking.slice(most)).toEqual([]);
  });

  test('a bar that cannot have it leaves the seventh to others, and says so', () => {
    let without = 0;
    for (const root of ROOTS) {
      const [, , , seventh] = chromas(`${root}7`);
      const { notes, reasons } = touched(`${root}7`, plainSetup('resonator guitar'));
      const has = notes.some((note) => note.midi % 12 === seventh);
      const said = reasons.some(({ detail }) => detail === `the seventh of ${root}7 left to others`);
      expect([root, said]).toEqual([root, !has]);
      if (!has) without += 1;
    }
    expect(without).toBeLessThan(ROOTS.length);
  });

  test('a mandolin chops within three frets mostly, with three fingers', () => {
    let wide = 0;
    let fingers = 0;
    const suffixes = ['', '7', 'm', 'm7'];
    for (const root of ROOTS)
      for (const suffix of suffixes) {
        const { notes } = touched(root + suffix, plainSetup('mandolin'));
        const frets = notes.map((note) => note.fret);
        expect(Math.min(...frets)).toBeGreaterThan(0);
        // The G chop, from fret 2 to 7, is the widest.
        expect(Math.max(...frets) - Math.min(...frets)).toBeLessThanOrEqual(5);
        if (Math.max(...frets) - Math.min(...frets) > 3) wide += 1;
        if (new Set(notes.map((note) => note.finger)).size > 3) fingers += 1;
      }
    expect(wide / (ROOTS.length * suffixes.length)).toBeLessThan(0.15);
    expect(fingers).toBe(0);
  });
});

// Source, from memory: open-position shapes of guitar tutors, sixth string first.
test('the guitar strums G, C and D as tutors print them', () => {
  const backup = planned(timelineOf({ chords: ['G', 'C', 'G', 'D'], sung: [] }), plainSetup('guitar'));
  if (!backup.ok) throw new Error(backup.error.what);
  const drawn = [960, 4800, 12_480].map((tick) =>
    [3, 2, 1]
      .map((string) => backup.value.notes.find((note) => note.tick === tick && note.string === string)?.fret)
      .join(''),
  );
  expect(drawn).toEqual(['003', '010', '232']);
});
