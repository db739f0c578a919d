import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';
import { beforeAll, describe, expect, it } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { roadmapTimeline, type Song } from '../../lib/song';
import {
  REPEAT_END,
  REPEAT_START,
  type ScoreMeasure,
  type ScoreNote,
  writeMeasures,
  writeScore,
} from '../unit/exchange/score-writer';

const TUNES = join(import.meta.dirname, '../tunes');
const SCHEMA = join(import.meta.dirname, '../../../shared/data/musicxml');
const ours = readdirSync(TUNES).filter((name) => name.endsWith('.musicxml'));
const textOf = (name: string) => readFileSync(join(TUNES, name), 'utf8');

async function songOf(xml: string): Promise<Song> {
  const read = await readSongFile('score.musicxml', xml, { makeId: makeIds(randomFrom(5)) });
  if (!read.ok) throw new Error(`${read.error.what} (${read.error.where})`);
  return read.value.song;
}

/** Quarters from the start. */
interface Heard {
  readonly from: number;
  readonly to: number;
  readonly pitch: number;
}

let toolkit: VerovioToolkit;
beforeAll(async () => {
  toolkit = new VerovioToolkit(await createVerovioModule());
  toolkit.setOptions({ transposeToSoundingPitch: true });
});

/** A grace note takes this much of the note after it, in verovio's timemap. */
const GRACE = 0.06;

/** What verovio hears: notes as written, tied ones still apart, repeats played out. */
function heardByVerovio(xml: string): Heard[] {
  if (!toolkit.loadData(xml)) throw new Error('verovio does not read it');
  const begun = new Map<string, number>();
  const heard: Heard[] = [];
  for (const { qstamp, on = [], off = [] } of toolkit.renderToTimemap({})) {
    for (const id of off) {
      const from = must(begun.get(id), 'its start');
      heard.push({ from, to: qstamp, pitch: toolkit.getMIDIValuesForElement(id).pitch });
    }
    for (const id of on) begun.set(id, qstamp);
  }
  return heard.filter(({ from, to }) => to - from > GRACE).sort((a, b) => a.from - b.from);
}

const heardByUs = (song: Song): Heard[] =>
  [...roadmapTimeline(song).notes.values()].flat().map(({ note, startTick, endTick }) => ({
    from: startTick / 960,
    to: endTick / 960,
    pitch: must(note.midi, 'a pitch'),
  }));

const near = (a: number, b: number, within = 0.01) => Math.abs(a - b) <= within;

/** Takes each of our notes out of what verovio hears, tied ones piece by piece; what is left over on either side. */
function compare(own: readonly Heard[], theirs: readonly Heard[]): { missing: Heard[]; left: Heard[] } {
  const left = [...theirs];
  const missing = own.filter((note) => {
    let at = note.from;
    while (at < note.to - 0.01) {
      const index = left.findIndex(
        ({ from, to, pitch }) =>
          pitch === note.pitch && near(from, at, at === note.from ? GRACE : 0.01) && to <= note.to + 0.01,
      );
      if (index < 0) return true;
      at = itemAt(left, index).to;
      left.splice(index, 1);
    }
    return false;
  });
  return { missing, left };
}

// Reference library: verovio (its timemap), and xmllint with the published schema of MusicXML 4.0.
describe('scores of our own making', () => {
  it.each(ours)('%s: the same notes, onsets and lengths as verovio', async (name) => {
    const xml = textOf(name);
    const played = xml.includes('Guitar')
      ? xml
          .replace(/<part id="P3">[\s\S]*?<\/part>/, '')
          .replace(/<score-part id="P3">[\s\S]*?<\/score-part>/, '')
      : xml;
    const own = heardByUs(await songOf(xml));
    const { missing, left } = compare(own, heardByVerovio(played));
    expect(missing).toEqual([]);
    // Of a chord, a song holds the highest note.
    expect(left).toHaveLength(xml.match(/<chord\/>/g)?.length ?? 0);
    expect(own.length).toBeGreaterThan(8);
  });

  const schema = existsSync(SCHEMA);
  if (!schema) console.log('MusicXML schema: not run, ../shared/data/musicxml is not here');
  it.skipIf(!schema)('are valid MusicXML 4.0', async () => {
    const local = (file: string) =>
      readFileSync(join(SCHEMA, file), 'utf8').replace(
        /schemaLocation="http[^"]*\/(\w+\.xsd)"/g,
        'schemaLocation="$1"',
      );
    const validate = (xml: string) =>
      validateXML({
        xml: [{ fileName: 'score.xml', contents: xml }],
        schema: [{ fileName: 'musicxml.xsd', contents: local('musicxml.xsd') }],
        preload: ['xlink.xsd', 'xml.xsd'].map((fileName) => ({ fileName, contents: local(fileName) })),
      });
    for (const name of ours) expect((await validate(textOf(name))).errors, name).toEqual([]);
    const made = writeScore([
      { name: 'Voice', measures: writeMeasures([{ notes: [{ midi: 60, twelfths: 48 }], meter: [4, 4] }]) },
    ]);
    expect((await validate(made)).errors).toEqual([]);
    expect(
      (await validate(made.replace('<duration>', '<length>').replace('</duration>', '</length>'))).valid,
    ).toBe(false);
  });
});

/** A measure of 3/4, 4/4 or 6/8 filled with notes and rests, triplets in threes. */
const measure = fc
  .record({
    meter: fc.constantFrom<readonly [number, number]>([4, 4], [3, 4], [6, 8]),
    picks: fc.array(
      fc.record({
        kind: fc.constantFrom(3, 6, 9, 12, 18, 24, 36, 48, 'triplet' as const),
        midi: fc.integer({ min: 55, max: 79 }),
        rest: fc.integer({ min: 0, max: 4 }),
      }),
      { minLength: 14, maxLength: 14 },
    ),
  })
  .map(({ meter, picks }): ScoreMeasure => {
    const full = (48 * meter[0]) / meter[1];
    const notes: ScoreNote[] = [];
    let at = 0;
    for (const { kind, midi, rest } of picks) {
      if (at >= full) break;
      const pitch = rest === 0 ? null : midi;
      if (kind === 'triplet' && at + 12 <= full) {
        for (let i = 0; i < 3; i++)
          notes.push({
            midi: midi + i,
            twelfths: 4,
            ...(i === 1 ? {} : { tuplet: i === 0 ? ('start' as const) : ('stop' as const) }),
          });
        at += 12;
      } else {
        const twelfths = kind === 'triplet' || at + kind > full ? 0 : kind;
        if (twelfths === 0) continue;
        notes.push({ midi: pitch, twelfths });
        at += twelfths;
      }
    }
    while (at < full) {
      const twelfths = [48, 24, 12, 6, 3].find((length) => at + length <= full) ?? 3;
      notes.push({ midi: null, twelfths });
      at += twelfths;
    }
    return { meter, notes };
  });

/** Ties the last note of a measure to a first one of the same pitch that is put before the next. */
function withTies(measures: readonly ScoreMeasure[]): ScoreMeasure[] {
  return measures.map((each, i) => {
    const before = measures[i - 1];
    const last = before?.notes[before.notes.length - 1];
    const next = measures[i + 1];
    const notes = [...each.notes];
    const first = itemAt(notes, 0);
    const fromLast = i % 2 === 1 && last?.midi != null;
    if (fromLast && last?.midi != null && first.midi !== null)
      notes[0] = { ...first, midi: last.midi, tie: ['stop'] };
    const end = itemAt(notes, notes.length - 1);
    const nextFirst = next?.notes[0];
    if (i % 2 === 0 && next && end.midi !== null && nextFirst?.midi != null)
      notes[notes.length - 1] = { ...end, tie: ['start'] };
    return { ...each, notes };
  });
}

describe('any score of one voice', () => {
  it('gives the notes, onsets and lengths that verovio gives, repeats played out', async () => {
    let notes = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(measure, { minLength: 3, maxLength: 8 }),
        fc.integer({ min: 0, max: 7 }),
        fc.integer({ min: 1, max: 3 }),
        fc.boolean(),
        async (plain, from, length, repeats) => {
          const tied = withTies(plain);
          const start = Math.min(from, tied.length - 1);
          const end = Math.min(start + length, tied.length) - 1;
          // A tie over a sign of repeat goes nowhere the second time; what is repeated begins and ends with whole notes.
          const free = (index: number) => itemAt(plain, index).notes;
          const measures = tied.map((each, i): ScoreMeasure => {
            if (!repeats || i < start - 1 || i > end + 1) return each;
            return {
              ...each,
              notes: free(i),
              ...(i === start ? { left: REPEAT_START } : {}),
              ...(i === end ? { right: REPEAT_END } : {}),
            };
          });
          const loose = measures.map((each, i) => ({ ...each, notes: looseEnds(measures, i) }));
          const xml = writeScore([{ name: 'Voice', measures: writeMeasures(loose) }]);
          if (!loose.some((each) => each.notes.some(({ midi }) => midi !== null))) return;
          const own = heardByUs(await songOf(xml));
          const { missing, left } = compare(own, heardByVerovio(xml));
          expect({ missing, left }).toEqual({ missing: [], left: [] });
          notes += own.length;
        },
      ),
      { numRuns: 60 },
    );
    console.log(`verovio: ${notes} notes of 60 random scores agree`);
    expect(notes).toBeGreaterThan(500);
  });
});

/** Takes away ties whose other end is not there. */
function looseEnds(measures: readonly ScoreMeasure[], index: number): ScoreNote[] {
  const { notes } = itemAt(measures, index);
  return notes.map((note, n) => {
    const next = notes[n + 1] ?? measures[index + 1]?.notes[0];
    const last = measures[index - 1]?.notes;
    const before = notes[n - 1] ?? last?.[last.length - 1];
    const tie = (note.tie ?? []).filter((type) =>
      type === 'start'
        ? next?.midi === note.midi && next?.tie?.includes('stop')
        : before?.midi === note.midi && before?.tie?.includes('start'),
    );
    return { ...note, tie };
  });
}
