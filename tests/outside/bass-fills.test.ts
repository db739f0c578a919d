import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type Offer, type OfferRequest, offerFills } from '../../lib/fills';
import { INSTRUMENTS, type InstrumentName, plainSetup } from '../../lib/instruments';
import { type Timeline, writtenTimeline } from '../../lib/song';
import { findSpaces, type Space } from '../../lib/spaces';
import { caseOf } from '../sweep/judge';
import { generatedSong, timelineOf } from '../unit/fills/songs';
import { barAt, beatOf, type Case, intoBar } from './checker/cases';
import { bassOf, chordTones } from './checker/facts';

/*
 * What an upright bass does in a string band, looked for in all that it is offered, and how everybody closes.
 * Source: Common practice, no source: the bass tells the chords, root first, and plays plainly; a full close rests on the root, with root or third on top.
 */

interface Heard {
  readonly name: string;
  readonly space: Space;
  readonly offer: Offer;
  readonly given: Case;
}

function heardIn(name: string, timeline: Timeline, instrument: InstrumentName = 'bass'): readonly Heard[] {
  return findSpaces(timeline)
    .filter((space) => space.kind !== 'instrumental')
    .flatMap((space) => {
      const request: OfferRequest = {
        timeline,
        space,
        setup: plainSetup(instrument),
        rule: 'alternate',
        spanMillimetres: null,
        comfortEighthsPerMinute: null,
        count: 10,
      };
      const offers = offerFills(request);
      if (!offers.ok) throw new Error(`${name} ${space.id}: ${offers.error.what}`);
      return offers.value.map((offer) => ({ name, space, offer, given: caseOf(request, offer) }));
    });
}

const tunes = new URL('../tunes/', import.meta.url);
const songs = await Promise.all(
  readdirSync(tunes)
    .filter((file) => file.endsWith('.abc'))
    .map(async (file) => {
      const read = await readSongFile(file, readFileSync(new URL(file, tunes)), {
        makeId: makeIds(randomFrom(7)),
      });
      return { name: file, timeline: writtenTimeline(must(read.ok ? read.value : null, file).song) };
    }),
);
const made = Array.from({ length: 12 }, (_, i) => ({
  name: `song ${i + 301}`,
  timeline: timelineOf(generatedSong(i + 301)),
}));
const heard = [...songs, ...made].flatMap(({ name, timeline }) => heardIn(name, timeline));
const said = ({ name, space, offer }: Heard) => `${name} ${space.bar}.${space.beat} '${offer.title}'`;

/** The first beats of chords that last two beats or more, with the pitch that sounds there; null: silence. A note that leads away is left out. */
function openings({ given, offer }: Heard) {
  const first = given.notes[0];
  const last = given.notes.at(-1);
  if (!first || !last) return [];
  const leads = offer.reasons.some(({ rule }) => rule === 'leads into the next chord');
  return given.chords.flatMap(({ symbol, startTick, endTick }) => {
    const bar = barAt(given, startTick);
    const lasts = Math.min(endTick, given.endTick) - startTick >= 2 * beatOf(bar);
    const inside = startTick >= given.startTick && startTick >= first.tick;
    const isOver = leads ? startTick >= last.tick : startTick >= last.tick + last.ticks;
    if (!lasts || !inside || isOver || intoBar(bar, startTick) % beatOf(bar) !== 0) return [];
    const sounding = given.notes.findLast(
      (note) => note.tick <= startTick && note.tick + note.ticks > startTick,
    );
    return [{ symbol, midi: sounding?.midi ?? null }];
  });
}

describe('a bass', () => {
  test('is heard in many ideas', () => {
    expect(heard.length).toBeGreaterThan(150);
  });

  test('sounds root, third or fifth of each chord that lasts two beats on its first, most often the root', () => {
    let count = 0;
    let onRoot = 0;
    const passed: string[] = [];
    for (const one of heard)
      for (const { symbol, midi } of openings(one)) {
        const tones = chordTones(symbol);
        if (!tones) continue;
        count += 1;
        if (midi !== null && midi % 12 === bassOf(symbol)) onRoot += 1;
        // The seventh by itself does not tell which chord it is.
        const root = bassOf(symbol.split('/')[0] ?? '') ?? 0;
        const seventh = midi !== null && midi % 12 !== bassOf(symbol) && (midi - root + 120) % 12 >= 10;
        if (midi === null || !tones.has(midi % 12) || seventh)
          passed.push(`${said(one)} over ${symbol}: ${midi}`);
      }
    expect(passed).toEqual([]);
    expect(count).toBeGreaterThan(100);
    expect(onRoot / count).toBeGreaterThan(0.75);
  });

  test('hammers, pulls and slides in one idea of ten at most', () => {
    const slurred = heard.filter(({ offer }) =>
      offer.notes.some(({ articulation }) => ['hammer', 'pull', 'slide'].includes(articulation)),
    );
    expect(slurred.length / heard.length).toBeLessThan(0.1);
  });
});

describe('as a song ends', () => {
  const closings = (instrument: InstrumentName) =>
    [...songs, ...made].flatMap(({ name, timeline }) => {
      const end = Math.max(...timeline.bars.map((bar) => bar.endTick));
      return heardIn(name, timeline, instrument).filter(({ space }) => space.endTick === end);
    });

  test.each(INSTRUMENTS)('the %s comes to rest on the root, or with root or third on top', (instrument) => {
    const found = closings(instrument);
    expect(found.length).toBeGreaterThan(15);
    const elsewhere: string[] = [];
    for (const one of found) {
      const { notes, chords, endTick } = one.given;
      const last = notes.at(-1);
      const symbol = chords.find((chord) => chord.endTick >= endTick)?.symbol ?? '';
      const tones = chordTones(symbol);
      const start = chords.find((chord) => chord.endTick >= endTick)?.startTick ?? endTick;
      if (!last || !tones || last.tick < start) continue;
      const root = bassOf(symbol.split('/')[0] ?? '') ?? 0;
      const top = Math.max(...notes.filter(({ tick }) => tick === last.tick).map(({ midi }) => midi));
      const above = (top - root + 120) % 12;
      const third = [3, 4].some((step) => tones.has((root + step) % 12));
      const wanted = instrument === 'bass' ? [0] : third ? [0, 3, 4] : [0, 2, 5, 7];
      if (!wanted.includes(above)) elsewhere.push(`${said(one)} over ${symbol}: ${above} half steps up`);
    }
    expect(elsewhere).toEqual([]);
  });
});
