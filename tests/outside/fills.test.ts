import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type OfferRequest, offerFills } from '../../lib/fills';
import { INSTRUMENTS, type InstrumentName, type Setup } from '../../lib/instruments';
import { roadmapTimeline, type Song, type Timeline, writtenTimeline } from '../../lib/song';
import { findSpaces, type Space } from '../../lib/spaces';
import { demoBand } from '../../server/demo';
import { caseOf } from '../sweep/judge';
import { FIVE_BEATS, generatedSong, spaceIn, timelineOf } from '../unit/fills/songs';
import type { Case, Note } from './checker/cases';
import { beatsOnChord, faultsOf } from './checker/check';

/*
 * Every offer for every space of the test tunes and of generated songs, judged by a checker that shares no code with what it checks: its
 * own tunings, fret distances, chord tones and stroke rules.
 * Source: Common practice, no source, but for what tests/outside/checker names beside each table.
 */

/** Of all notes on a beat, at least this share are chord tones. Common practice, no source: 'chord tones on strong beats'. */
const LEAST_ON_CHORD = 0.9;

const players = INSTRUMENTS.filter((name) => name !== 'voice');

interface Tally {
  spaces: number;
  offers: number;
  onBeats: number;
  onChord: number;
  readonly faults: string[];
}

function check(
  tally: Tally,
  name: string,
  timeline: Timeline,
  spaces: readonly Space[],
  setups: readonly Setup[],
) {
  for (const space of spaces) {
    if (space.kind !== 'instrumental') tally.spaces += 1;
    for (const [i, setup] of setups.entries()) {
      const request: OfferRequest = {
        timeline,
        space,
        setup,
        rule: (i + tally.spaces) % 2 === 0 ? 'toward' : 'alternate',
        spanMillimetres: null,
        comfortEighthsPerMinute: null,
        count: 8,
      };
      const offers = offerFills(request);
      // A pass in which nobody sings takes its tune as a whole, up to its end, or nothing.
      if (space.kind === 'instrumental') {
        if (!offers.ok) {
          if (!offers.error.mend.includes('ad lib'))
            tally.faults.push(`${name} ${space.id}: a fill for a break`);
          continue;
        }
        for (const offer of offers.value) {
          if (!offer.family.includes('melody')) tally.faults.push(`${name} ${space.id}: a fill for a break`);
          for (const fault of faultsOf({ ...caseOf(request, offer), guardTicks: 0 }))
            tally.faults.push(`${name} ${space.id} ${setup.instrument} '${offer.title}': ${fault}`);
        }
        continue;
      }
      if (!offers.ok) {
        tally.faults.push(`${name} ${space.id} ${setup.instrument}: ${offers.error.what}`);
        continue;
      }
      for (const offer of offers.value) {
        const given = caseOf(request, offer);
        tally.offers += 1;
        const beats = beatsOnChord(given);
        tally.onBeats += beats.notes;
        tally.onChord += beats.chordTones;
        for (const fault of faultsOf(given))
          tally.faults.push(
            `${name} ${space.id} ${setup.instrument} ${offer.rank} '${offer.title}': ${fault}`,
          );
      }
    }
  }
}

const emptyTally = (): Tally => ({ spaces: 0, offers: 0, onBeats: 0, onChord: 0, faults: [] });

function setupsFor(capo: number): readonly Setup[] {
  return players.map((instrument) => ({
    instrument,
    tuning: 'standard',
    capo: CAPOS.has(instrument) ? capo : 0,
    fifthCapo: null,
  }));
}
const OTHER_TUNINGS: readonly Setup[] = [
  { instrument: 'guitar', tuning: 'drop D', capo: 3, fifthCapo: null },
  { instrument: 'banjo', tuning: 'double C', capo: 2, fifthCapo: null },
  { instrument: 'banjo', tuning: 'modal', capo: 0, fifthCapo: 2 },
];
const CAPOS: ReadonlySet<InstrumentName> = new Set(['guitar', 'banjo', 'mandolin']);

const tunes = new URL('../tunes/', import.meta.url);
const files = readdirSync(tunes).filter((name) => name.endsWith('.abc'));

async function readTune(file: string): Promise<Song> {
  const read = await readSongFile(file, readFileSync(new URL(file, tunes), 'utf8'), {
    makeId: makeIds(randomFrom(7)),
  });
  if (!read.ok) throw new Error(`${file}: ${read.error.what}`);
  return read.value.song;
}

describe('offers for the test tunes', () => {
  test('there are ten tunes', () => {
    expect(files.length).toBeGreaterThanOrEqual(10);
  });

  test.each(files)('%s', async (file) => {
    const song = await readTune(file);
    const tally = emptyTally();
    for (const timeline of [writtenTimeline(song), roadmapTimeline(song)])
      check(tally, file, timeline, findSpaces(timeline), setupsFor(tally.spaces % 2 === 0 ? 0 : 2));
    expect(tally.faults).toEqual([]);
    expect(tally.spaces).toBeGreaterThan(0);
    expect(tally.offers).toBeGreaterThan(tally.spaces * 6);
    expect(tally.onChord / tally.onBeats).toBeGreaterThanOrEqual(LEAST_ON_CHORD);
  });
});

test('offers for generated songs', () => {
  const tally = emptyTally();
  for (let seed = 1; seed <= 24; seed++) {
    const timeline = timelineOf(generatedSong(seed));
    const setups = [...setupsFor(seed % 5), ...(seed % 3 === 0 ? OTHER_TUNINGS : [])];
    check(tally, `song ${seed}`, timeline, findSpaces(timeline), setups);
  }
  expect(tally.faults).toEqual([]);
  expect(tally.offers).toBeGreaterThan(1200);
  expect(tally.onChord / tally.onBeats).toBeGreaterThanOrEqual(LEAST_ON_CHORD);
});

test('offers for the demo band, each player as set up for the song', async () => {
  const { band, songs } = await demoBand();
  const tally = emptyTally();
  for (const song of songs) {
    const timeline = roadmapTimeline(song);
    const kinds = new Map(
      findSpaces(timeline).map((space) => [
        `${space.kind} ${space.beats} ${space.chords.map((chord) => chord.symbol).join()}`,
        space,
      ]),
    );
    check(tally, song.title, timeline, [...kinds.values()], song.settings);
  }
  expect(band.players).toHaveLength(5);
  expect(tally.faults).toEqual([]);
  // Three clearly different ideas at the least for each player in each space.
  expect(tally.offers).toBeGreaterThanOrEqual(tally.spaces * 5 * 3);
  expect(tally.onChord / tally.onBeats).toBeGreaterThanOrEqual(LEAST_ON_CHORD);
});

/** An offer that is sound, to be spoiled one thing at a time. */
function soundCase(): Case {
  const timeline = timelineOf(FIVE_BEATS);
  const request: OfferRequest = {
    timeline,
    space: spaceIn(timeline),
    setup: { instrument: 'guitar', tuning: 'standard', capo: 0, fifthCapo: null },
    rule: 'toward',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    count: 8,
  };
  const offers = offerFills(request);
  if (!offers.ok) throw new Error(offers.error.what);
  const offer = offers.value.find((each) => each.family === 'forward roll');
  return caseOf(request, must(offer, 'a forward roll'));
}

describe('the checker sees what is wrong', () => {
  const good = soundCase();
  const spoil = (index: number, change: Partial<Note>): Case => ({
    ...good,
    notes: good.notes.map((note, i) => (i === index ? { ...note, ...change } : note)),
  });
  const struckAt = good.notes.findIndex((note) => note.strokeRule === 'toward the next string');
  const slurAt = good.notes.findIndex((note) => note.stroke === null);
  const last = good.notes.length - 1;

  test('nothing in a sound offer', () => {
    expect(faultsOf(good)).toEqual([]);
    expect(struckAt).toBeGreaterThanOrEqual(0);
    expect(slurAt).toBeGreaterThan(0);
  });

  const other = (stroke: string | null) => (stroke === 'down' ? 'up' : 'down');
  test.each<[string, Case, RegExp]>([
    ['before the space', spoil(0, { tick: good.startTick - 480 }), /starts outside/],
    ['past the space', spoil(last, { ticks: 4000 }), /ends after the space/],
    ['into the guard', { ...good, guardTicks: 2400 }, /in the guard/],
    ['a string that is not there', spoil(0, { string: 7 }), /no string 7/],
    ['a pitch that is not there', spoil(0, { midi: itemAt(good.notes, 0).midi + 1 }), /do not give/],
    ['a capo that is not counted', { ...good, capo: 2 }, /do not give/],
    ['a fret that is not there', spoil(0, { fret: 25 }), /no fret 25/],
    ['a string twice at once', spoil(0, { ticks: 1920 + 480 }), /on one string at once/],
    ['a grip too wide', { ...good, notes: wideGrip(good.notes) }, /mm apart at once/],
    ['a finger on an open string', spoil(0, { fret: 0, finger: 2 }), /finger 2 on fret 0/],
    [
      'a stroke against the rule',
      spoil(struckAt, { stroke: other(itemAt(good.notes, struckAt).stroke) }),
      /not (down|up)/,
    ],
    ['a stroke marked without need', spoil(struckAt, { exception: true }), /marked, but by the rule/],
    ['a slur that is struck', spoil(slurAt, { stroke: 'up' }), /a slur is struck/],
    ['a slur from nowhere', spoil(0, { articulation: 'hammer', stroke: null }), /no note on its string/],
    ['a player too slow', { ...good, eighthsPerMinute: 60 }, /too fast/],
    [
      'a landing outside the chord',
      spoil(last, { midi: itemAt(good.notes, last).midi + 1 }),
      /no chord tone/,
    ],
  ])('%s', (_, spoiled, fault) => {
    expect(faultsOf(spoiled).join('; ')).toMatch(fault);
  });

  /** Two notes of the lowest strings held eight frets apart. */
  function wideGrip(notes: readonly Note[]): readonly Note[] {
    const first = must(notes[0], 'a note');
    const wide = { ...first, articulation: 'struck', exception: false, stroke: 'down', ticks: 480 };
    return [
      { ...wide, string: 6, fret: 1, midi: 41, finger: 1 },
      { ...wide, string: 5, fret: 9, midi: 54, finger: 4 },
      ...notes.slice(1),
    ];
  }
});

/*
 * The worked case. Source: Common practice, no source: the voice lets go as beat 2 begins and comes in on beat 3 of the
 * following bar; the space is five beats, room for ten eighths, across the barline; with the guard a roll plays eight or nine of them.
 */
describe('the five-beat space', () => {
  const timeline = timelineOf(FIVE_BEATS);
  const space = spaceIn(timeline);
  const offersTo = (setup: Partial<Setup>, rule: OfferRequest['rule'] = 'toward') => {
    const offers = offerFills({
      timeline,
      space,
      setup: { instrument: 'guitar', tuning: 'standard', capo: 0, fifthCapo: null, ...setup },
      rule,
      spanMillimetres: null,
      comfortEighthsPerMinute: null,
      count: 30,
    });
    return offers.ok ? offers.value : [];
  };

  test('is five beats', () => {
    expect(space.beats).toBe(5);
  });

  test.each(['guitar', 'banjo'] as const)(
    'a roll on the %s plays eight or nine eighths of it',
    (instrument) => {
      const rolls = offersTo({ instrument }).filter((offer) => offer.family.endsWith('roll'));
      expect(rolls.length).toBeGreaterThanOrEqual(3);
      for (const roll of rolls) {
        const onsets = new Set(roll.notes.filter((note) => note.tick % 480 === 0).map((note) => note.tick));
        expect([8, 9]).toContain(onsets.size);
      }
    },
  );

  test('a forward roll on three strings runs down down up, and an even hand down up', () => {
    // Source: Common practice, no source: a roll over 4-3-2 in eighths is struck down down up, round and round.
    const toward = offersTo({}).find((offer) => /^a forward roll on \d, \d, \d$/.test(offer.title));
    const strokes = must(toward, 'a roll alone').notes.flatMap((note) => note.stroke ?? []);
    expect(strokes.slice(0, 6)).toEqual(['down', 'down', 'up', 'down', 'down', 'up']);
    const even = offersTo({}, 'alternate').find((offer) =>
      /^a forward roll on \d, \d, \d$/.test(offer.title),
    );
    const hand = must(even, 'a roll alone').notes.flatMap((note) => note.stroke ?? []);
    expect(hand.slice(0, 6)).toEqual(['down', 'up', 'down', 'up', 'down', 'up']);
  });

  // Source: Common practice, no source: the fingers of the banjo's rolls, T thumb, I index, M middle.
  test.each([
    ['forward roll', 'T I M T I M T M'],
    ['backward roll', 'M I T M I T M I'],
    ['forward-reverse roll', 'T I M T M I T M'],
    ['alternating thumb roll', 'T I T M T I T M'],
  ])('a %s on the banjo goes %s', (family, fingers) => {
    const roll = offersTo({ instrument: 'banjo' }).find(
      (offer) =>
        offer.family === family && !offer.title.includes('run') && !offer.title.includes('sixteenths'),
    );
    const struck = must(roll, family).notes.filter((note) => note.tick % 480 === 0);
    const played = struck.slice(0, 8).map((note) => note.stroke?.charAt(0).toUpperCase());
    expect(played.join(' ')).toBe(fingers);
  });
});
