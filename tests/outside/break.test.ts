import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { READ_ENDINGS, readSongFile } from '../../lib/exchange';
import { type Break, breakFor } from '../../lib/fills';
import { INSTRUMENTS, plainSetup, type Setup, type StrokeRule } from '../../lib/instruments';
import { type Song, type Timeline, writtenTimeline } from '../../lib/song';
import { findPhrases, leadVoice } from '../../lib/spaces';
import { demoBand } from '../../server/demo';
import type { Case } from './checker/cases';
import { faultsOf } from './checker/check';
import { type SungAt, tuneFaults } from './checker/tune';

/*
 * A break keeps every note of the tune, and hands can play it: hymns in the public domain, the project's own tunes and its demo's songs, on every
 * instrument.
 * Source: hymns of the Open Hymnal Project, as their files say; judged by tests/outside/checker, which knows tunings, fret distances, strokes and
 * slurs by itself (its sources stand there).
 */
const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
const TUNES = join(import.meta.dirname, '../tunes');

/** Usual ease by instrument, in eighth notes a minute. Common practice, no source. */
const EASE: Readonly<Record<string, number>> = {
  guitar: 440,
  banjo: 560,
  mandolin: 460,
  fiddle: 460,
  'resonator guitar': 440,
  bass: 300,
};
const SPAN: Readonly<Record<string, number>> = { mandolin: 110, fiddle: 105, bass: 125 };

interface Read {
  readonly name: string;
  readonly song: Song;
}

async function songsIn(folder: string): Promise<readonly Read[]> {
  if (!existsSync(folder)) return [];
  const songs: Read[] = [];
  for (const name of readdirSync(folder).sort()) {
    if (!READ_ENDINGS.some((ending) => name.endsWith(ending))) continue;
    const read = await readSongFile(name, readFileSync(join(folder, name)), {
      makeId: makeIds(randomFrom(1)),
    });
    if (read.ok) songs.push({ name, song: read.value.song });
  }
  return songs;
}

const played = INSTRUMENTS.filter((instrument) => instrument !== 'voice');
/** Every so many hymns are played; BREATHMARK_ALL_HYMNS=1 plays them all. */
const EVERY = process.env.BREATHMARK_ALL_HYMNS === '1' ? 1 : 4;
const hymns = (await songsIn(HYMNS)).filter((_, i) => i % EVERY === 0);
const own = await songsIn(TUNES);
const demo = (await demoBand()).songs.map((song) => ({ name: song.title, song }));
const hasTune = ({ song }: Read) => song.notes.some((note) => note.midi !== null);

function breakOf(song: Song, setup: Setup, rule: StrokeRule = 'toward') {
  const timeline = writtenTimeline(song);
  const found = breakFor({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup,
    rule,
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    voiceId: null,
    plain: false,
  });
  return { timeline, found };
}

function phrasesOf(timeline: Timeline): readonly (readonly SungAt[])[] {
  const lead = must(leadVoice(timeline), 'a leading voice');
  const notes = must(timeline.notes.get(lead.id), 'its notes');
  return findPhrases(timeline, { ignoreWords: false })
    .filter((phrase) => phrase.voiceId === lead.id)
    .map((phrase) =>
      notes
        .slice(phrase.firstNote, phrase.lastNote + 1)
        .flatMap(({ startTick, note }) => (note.midi === null ? [] : [{ tick: startTick, midi: note.midi }])),
    );
}

function caseOf(timeline: Timeline, setup: Setup, rule: StrokeRule, found: Break): Case {
  const { instrument } = setup;
  return {
    ...setup,
    rule,
    spanMillimetres: SPAN[instrument] ?? 115,
    eighthsPerMinute: EASE[instrument] ?? 440,
    quartersPerMinute: timeline.tempo.tempoAt(0),
    family: found.family,
    notes: found.notes,
    startTick: 0,
    endTick: timeline.endTick,
    guardTicks: 0,
    bars: timeline.bars.map(({ bar, startTick, endTick }) => ({
      startTick,
      endTick,
      count: bar.meter.count,
      unit: bar.meter.unit,
      pickup: bar.pickup,
    })),
    chords: timeline.chords,
  };
}

describe.each(played)('a break on the %s', (instrument) => {
  it.each([
    ['hymns', hymns],
    ['own tunes', own],
    ['demo songs', demo],
  ] as const)('keeps every note of the tune and can be played: %s', (what, songs) => {
    const faults: string[] = [];
    let notes = 0;
    let onBeat = 0;
    let fast = 0;
    let count = 0;
    const numbers: number[] = [];
    for (const { name, song } of songs.filter(hasTune)) {
      const { timeline, found } = breakOf(song, plainSetup(instrument));
      if (!found.ok) {
        faults.push(`${name}: ${found.error.what}`);
        continue;
      }
      count += 1;
      numbers.push(found.value.difficulty.number);
      const phrases = phrasesOf(timeline);
      const tune = tuneFaults(phrases, found.value.notes);
      notes += phrases.flat().length;
      onBeat += tune.onBeat;
      faults.push(...tune.faults.map((fault) => `${name}: ${fault}`));
      for (const fault of faultsOf(caseOf(timeline, plainSetup(instrument), 'toward', found.value))) {
        // A tune that is itself quicker than the player's ease is played all the same, and its difficulty says so.
        if (fault.endsWith('are too fast')) {
          fast += 1;
          if (!found.value.difficulty.terms.some(({ rule }) => rule === 'speed'))
            faults.push(`${name}: ${fault}`);
        } else faults.push(`${name}: ${fault}`);
      }
    }
    const mean = numbers.reduce((sum, each) => sum + each, 0) / Math.max(1, numbers.length);
    console.log(
      count === 0
        ? `breaks, ${what}: none here, not checked`
        : `breaks on ${instrument}, ${what}: ${count} songs, ${notes} notes of tunes, ${((100 * onBeat) / notes).toFixed(1)} % on their beat; ${fast} too quick for ease; difficulty ${mean.toFixed(1)}`,
    );
    expect(faults).toEqual([]);
    expect(onBeat).toBeGreaterThanOrEqual(0.9 * notes);
  });
});

const SET_UP: readonly (readonly [Setup, StrokeRule])[] = [
  [{ ...plainSetup('guitar'), capo: 2 }, 'alternate'],
  [{ ...plainSetup('guitar'), tuning: 'drop D' }, 'toward'],
  [{ ...plainSetup('banjo'), capo: 4 }, 'toward'],
  [{ ...plainSetup('banjo'), tuning: 'double C', fifthCapo: 2 }, 'toward'],
  [plainSetup('mandolin'), 'alternate'],
  [{ ...plainSetup('fiddle'), tuning: 'cross A' }, 'toward'],
  [{ ...plainSetup('resonator guitar'), capo: 3 }, 'toward'],
];

it.each(SET_UP)('%o, %s: own tunes and demo songs are kept and can be played', (setup, rule) => {
  const faults: string[] = [];
  for (const { name, song } of [...own, ...demo].filter(hasTune)) {
    const { timeline, found } = breakOf(song, setup, rule);
    if (!found.ok) {
      faults.push(`${name}: ${found.error.what}`);
      continue;
    }
    faults.push(
      ...tuneFaults(phrasesOf(timeline), found.value.notes).faults.map((fault) => `${name}: ${fault}`),
    );
    for (const fault of faultsOf(caseOf(timeline, setup, rule, found.value)))
      if (!fault.endsWith('are too fast')) faults.push(`${name}: ${fault}`);
  }
  expect(faults).toEqual([]);
});

describe('the checker of tunes', () => {
  it('misses no note that is left out, moved too far or put into another octave', () => {
    const { timeline, found } = breakOf(itemAt(demo, 0).song, plainSetup('guitar'));
    const { notes, tune } = must(found.ok ? found.value : null, 'a break');
    const phrases = phrasesOf(timeline);
    expect(tuneFaults(phrases, notes).faults).toEqual([]);
    const one = itemAt(tune, 5);
    const isIt = (tick: number) => Math.abs(tick - one.playedTick) <= 480;
    const pitch = one.midi + 12 * one.octaves;
    const without = notes.filter((note) => note.midi !== pitch || !isIt(note.tick));
    expect(tuneFaults(phrases, without).faults).not.toEqual([]);
    const late = notes.map((note) => ({ ...note, tick: note.tick + 490 }));
    expect(tuneFaults(phrases, late).faults).not.toEqual([]);
    const lower = notes.map((note) =>
      note.midi === pitch && isIt(note.tick) ? { ...note, midi: pitch - 12 } : note,
    );
    expect(tuneFaults(phrases, lower).faults).not.toEqual([]);
  });
});
