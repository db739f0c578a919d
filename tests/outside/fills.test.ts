import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type OfferRequest, offerFills } from '../../lib/fills';
import {
  DEFAULT_SPAN_MILLIMETRES,
  INSTRUMENTS,
  type InstrumentName,
  type Setup,
} from '../../lib/instruments';
import { roadmapTimeline, type Song, type Timeline, writtenTimeline } from '../../lib/song';
import { findSpaces, type Space } from '../../lib/spaces';
import { type Shorthand, timelineOf } from '../unit/fills/songs';
import type { Case } from './checker/cases';
import { beatsOnChord, faultsOf } from './checker/check';

/*
 * Every offer for every space of the test tunes and of generated songs, judged by a checker that shares no code with what it checks: its
 * own tunings, fret distances, chord tones and stroke rules.
 * Source: Common practice, no source, but for what tests/outside/checker names beside each table.
 */

/** Of all notes on a beat, at least this share are chord tones. Common practice, no source: 'chord tones on strong beats'. */
const LEAST_ON_CHORD = 0.9;

const EASE: Readonly<Record<string, number>> = {
  guitar: 440,
  banjo: 560,
  mandolin: 460,
  fiddle: 460,
  'resonator guitar': 440,
  bass: 300,
};

const players = INSTRUMENTS.filter((name) => name !== 'voice');

function caseOf(request: OfferRequest, offer: Pick<Case, 'family' | 'notes'>): Case {
  const { timeline, space, setup } = request;
  return {
    instrument: setup.instrument,
    tuning: setup.tuning,
    capo: setup.capo,
    fifthCapo: setup.fifthCapo,
    rule: request.rule,
    spanMillimetres: request.spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    eighthsPerMinute: request.comfortEighthsPerMinute ?? EASE[setup.instrument] ?? 0,
    quartersPerMinute: timeline.tempo.tempoAt(space.startTick),
    family: offer.family,
    notes: offer.notes,
    startTick: space.startTick,
    endTick: space.endTick,
    guardTicks: space.guardTicks,
    bars: timeline.bars.map(({ bar, startTick, endTick }) => ({
      startTick,
      endTick,
      count: bar.meter.count,
      unit: bar.meter.unit,
      pickup: bar.pickup,
    })),
    chords: timeline.chordsIn(space.startTick, space.endTick + 3840),
  };
}

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
    tally.spaces += 1;
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
function generated(seed: number): Shorthand {
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

test('offers for generated songs', () => {
  const tally = emptyTally();
  for (let seed = 1; seed <= 40; seed++) {
    const timeline = timelineOf(generated(seed));
    check(tally, `song ${seed}`, timeline, findSpaces(timeline), setupsFor(seed % 5));
  }
  expect(tally.faults).toEqual([]);
  console.log(`${tally.offers} offers, ${tally.onChord} of ${tally.onBeats} beats on chord tones`);
  expect(tally.offers).toBeGreaterThan(1500);
  expect(tally.onChord / tally.onBeats).toBeGreaterThanOrEqual(LEAST_ON_CHORD);
});
