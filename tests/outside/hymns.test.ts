import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type Song, type SungNote, writtenTimeline } from '../../lib/song';
import { findPhrases, findSpaces, leadVoice } from '../../lib/spaces';

/*
 * Where sung lines end, against the hymns' own metrical pattern.
 * Source: metrical patterns (syllables to each line of words), Open Hymnal Project; the first line of each file.
 *
 * With stanza 1 laid under the melody, a line ends with the last note before the syllable that begins the next line. The last
 * line's end is the last note of the tune, which nobody can miss: it is left out of the first figure and counted
 * in the second. The reader under test drops the pattern's line, as it drops all comments.
 */
const FOLDER = join(import.meta.dirname, '../../../shared/data/hymns');
const present = existsSync(FOLDER);
const files = present ? readdirSync(FOLDER).filter((name) => name.endsWith('.abc')) : [];

interface Hymn {
  readonly file: string;
  readonly song: Song;
  /** Indexes among the melody's notes, the tune's last note too. */
  readonly lineEnds: readonly number[];
}

/** The hymn with its melody alone; null where stanza 1 has not as many syllables as the pattern counts. */
async function readHymn(file: string): Promise<Hymn | null> {
  const text = readFileSync(join(FOLDER, file), 'utf8');
  const [first = '', ...rest] = text.split('\n');
  let count = 0;
  const read = await readSongFile(file, rest.join('\n'), { makeId: () => `i${count++}` });
  if (!read.ok) throw new Error(`${file}: ${read.error.what}`);
  const { song } = read.value;
  const top = itemAt(song.voices, 0);
  const melody = must(writtenTimeline(song).notes.get(top.id), 'the melody');
  const pattern = (first.split(':')[1] ?? '').trim().split(/\s+/).map(Number);
  const begins = melody.flatMap((note, i) => (note.note.syllables[0] ? [i] : []));
  if (begins.length !== pattern.reduce((sum, line) => sum + line, 0)) return null;
  let sung = 0;
  const lineEnds = pattern.map((line) => {
    sung += line;
    return (begins[sung] ?? melody.length) - 1;
  });
  return { file, song, lineEnds };
}

interface Score {
  readonly precision: number;
  readonly recall: number;
  readonly f1: number;
}

function scoreOf(found: readonly number[], wanted: readonly number[]): Score {
  const hits = found.filter((end) => wanted.includes(end)).length;
  const precision = found.length === 0 ? 0 : hits / found.length;
  const recall = wanted.length === 0 ? 1 : hits / wanted.length;
  return { precision, recall, f1: hits === 0 ? 0 : (2 * precision * recall) / (precision + recall) };
}

function mean(scores: readonly Score[]): Score {
  const of = (key: keyof Score) => scores.reduce((sum, score) => sum + score[key], 0) / scores.length;
  return { precision: of('precision'), recall: of('recall'), f1: of('f1') };
}

function measure(hymns: readonly Hymn[], ignoreWords: boolean): { inside: Score; all: Score } {
  const scores = hymns.map(({ song, lineEnds }) => {
    const timeline = writtenTimeline(song);
    const lead = must(leadVoice(timeline), 'the melody');
    const ends = findPhrases(timeline, { ignoreWords })
      .filter((phrase) => phrase.voiceId === lead.id)
      .map((phrase) => phrase.lastNote);
    return { inside: scoreOf(ends.slice(0, -1), lineEnds.slice(0, -1)), all: scoreOf(ends, lineEnds) };
  });
  return { inside: mean(scores.map((each) => each.inside)), all: mean(scores.map((each) => each.all)) };
}

const say = ({ precision, recall, f1 }: Score) =>
  `precision ${precision.toFixed(3)}, recall ${recall.toFixed(3)}, F1 ${f1.toFixed(3)}`;

if (!present) {
  console.log(
    'checks not made: ../shared/data/hymns is not beside the project (phrase ends of 58 hymn tunes)',
  );
}

describe.skipIf(!present)('phrase ends of hymn tunes', () => {
  let hymns: Hymn[] = [];

  beforeAll(async () => {
    for (const file of files.sort()) {
      const hymn = await readHymn(file);
      if (hymn) hymns = [...hymns, hymn];
      else console.log(`not measured, stanza 1 has another number of syllables than the pattern: ${file}`);
    }
  });

  it('measures the 58 whose stanzas agree with their pattern', () => {
    expect(hymns.length).toBeGreaterThanOrEqual(58);
  });

  it.each([
    { ignoreWords: false, called: 'with the words', least: 0.8 },
    { ignoreWords: true, called: 'by the music alone', least: 0.7 },
  ])('are found $called', ({ ignoreWords, called, least }) => {
    const { inside, all } = measure(hymns, ignoreWords);
    console.log(`phrase ends ${called}, mean of ${hymns.length} songs, without the last one: ${say(inside)}`);
    console.log(`phrase ends ${called}, mean of ${hymns.length} songs, with the last one: ${say(all)}`);
    expect(inside.f1).toBeGreaterThanOrEqual(least);
  });

  it('are followed by every silence that is put in after them, to the tick', () => {
    for (const hymn of hymns) {
      const { song, silences } = breathing(hymn);
      const found = findSpaces(writtenTimeline(song)).filter((space) => space.kind === 'between');
      expect(
        found.map(({ startTick, endTick }) => [startTick, endTick]),
        hymn.file,
      ).toEqual(silences);
    }
  });
});

/** The melody alone with three more quarters of silence after each line but the last, in bars of a quarter each. */
function breathing({ song, lineEnds }: Hymn): { song: Song; silences: [number, number][] } {
  const QUARTER = 960;
  const melody = must(writtenTimeline(song).notes.get(itemAt(song.voices, 0).id), 'the melody');
  const bars: Song['sections'][number]['bars'][number][] = [];
  const notes: SungNote[] = [];
  const silences: [number, number][] = [];
  let shift = 0;
  melody.forEach(({ note, startTick, endTick }, i) => {
    const at = startTick + shift;
    notes.push({
      ...note,
      ticks: endTick - startTick,
      barId: `b${Math.floor(at / QUARTER)}`,
      offset: at % QUARTER,
    });
    const next = melody[i + 1];
    if (!next) return;
    if (lineEnds.includes(i)) {
      silences.push([endTick + shift, next.startTick + shift + 3 * QUARTER]);
      shift += 3 * QUARTER;
    } else if (next.startTick - endTick >= 1.5 * QUARTER) {
      silences.push([endTick + shift, next.startTick + shift]);
    }
  });
  const last = must(melody[melody.length - 1], 'a note');
  for (let tick = 0; tick < last.endTick + shift; tick += QUARTER) {
    bars.push({
      id: `b${tick / QUARTER}`,
      meter: { count: 1, unit: 4 },
      ticks: QUARTER,
      pickup: false,
      endings: [],
      key: null,
      tempo: null,
    });
  }
  const voices = [itemAt(song.voices, 0)];
  return {
    song: { ...song, voices, notes, chords: [], passes: [], sections: [{ id: 's', name: '', bars }] },
    silences,
  };
}
