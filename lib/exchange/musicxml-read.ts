import { fail, itemAt, ok, type Result } from '../base';
import type { Ticks } from '../time';
import { alignVoices } from './abc-align';
import type { ReadOptions, SongRead } from './abc-read';
import { buildSong } from './abc-song';
import type { RawNote, VoiceBar } from './abc-types';
import { fullTicks, readPart } from './musicxml-part';
import { PASS_OVER, placesOf, scoreOf } from './musicxml-score';
import type { PartMeasure, PartRead, PartVoice } from './musicxml-types';
import { unpackScore } from './mxl';
import { Findings } from './report';
import { reportSong } from './report-song';
import { readPhraseSlurs } from './slurs';
import { readXml } from './xml-tree';

const MOST_CHARACTERS_OF_XML = 30_000_000;
const MOST_MEASURES = 5000;
const MOST_VOICES = 40;

/**
 * Reads a MusicXML score (partwise, or timewise turned round) into a song: 960 ticks to a quarter note, pitch as sounded, ties joined, of a
 * chord the highest note, grace and cue notes left out, words of all stanzas, chord symbols, repeats and endings as sections and passes,
 * section names from rehearsal marks and from words such as `Chorus`. Voices are those that have words, with the others of their parts;
 * where none has, those of every part but accompanying instruments. Source: MusicXML 4.0.
 *
 * @returns a problem where it is no MusicXML, holds no measures or no voice, or is beyond its limits
 */
export function readMusicXml(text: string, options: ReadOptions): Result<SongRead> {
  if (text.length > MOST_CHARACTERS_OF_XML)
    return fail(
      `the score has ${text.length} characters; at most ${MOST_CHARACTERS_OF_XML} are read`,
      'the whole file',
      'keep one song in a file, and leave out what is not sung',
    );
  if (!/^\uFEFF?\s*</.test(text))
    return fail(
      'this is not XML',
      'line 1',
      'choose the file again: MusicXML begins with "<?xml"; other kinds of files have other endings',
    );
  const root = readXml(text.replace(/^\uFEFF/, ''), PASS_OVER);
  if (!root.ok) return root;
  const found = scoreOf(root.value);
  if (!found.ok) return found;
  const score = found.value;
  const findings = new Findings(text, placesOf(score));
  if (score.timewise)
    findings.guessed('the score is written bar by bar (timewise); it was turned into parts');
  const count = Math.max(...score.parts.map((part) => part.measures.length));
  if (count > MOST_MEASURES)
    return fail(
      `the score has ${count} bars; at most ${MOST_MEASURES} are read`,
      'the whole file',
      'keep one song in a file',
    );
  const stanzas = new Map<string, number>();
  const parts = score.parts.map((part) => readPart(part, stanzas, findings));
  const chosen = chooseVoices(parts, findings);
  const bars = sharedBars(parts, count, findings);
  const voices = chosen.map(({ part, voice, name }, i) => ({
    text: { id: `${part.part.name ?? part.part.id}${part.voices.length > 1 ? ` ${voice.voice}` : ''}`, name },
    bars: bars.map((bar, b) => ({
      ...bar,
      chords: i === 0 ? bar.chords : [],
      notes: notesOf(part.measures[b], voice, b, bar.ticks, findings),
    })),
  }));
  for (const { bars: own } of voices) readPhraseSlurs(own, findings);
  const top = voices[0];
  if (!top)
    return fail(
      'nobody sings in this score',
      score.title ?? 'the whole file',
      'export the part with the melody: notes with pitch in a voice',
    );
  const first = bars[0];
  if (!first?.key) findings.guessed('no key is given; C was taken');
  const song = buildSong(
    {
      key: { key: first?.key ?? { tonic: 'C', mode: 'major' }, alterations: null, shift: null },
      tempo: null,
      order: null,
      swing: swingOf(parts, findings),
    },
    voices,
    alignVoices(
      voices.map(({ text: { id }, bars: own }) => ({ id, bars: own })),
      findings,
    ),
    (score.title ?? options.title).slice(0, 200),
    options.makeId,
    findings,
  );
  reportSong(song, findings);
  if (score.title === null) findings.guessed(`no title is given; "${song.title}" was taken`);
  return ok({ song, report: findings.report() });
}

/** Reads a compressed score (.mxl). */
export function readMxl(bytes: Uint8Array, options: ReadOptions): Result<SongRead> {
  const unpacked = unpackScore(bytes);
  return unpacked.ok ? readMusicXml(decodeXml(unpacked.value), options) : unpacked;
}

/** The text of an XML file: by its byte order mark, by the encoding it declares, else UTF-8. */
export function decodeXml(bytes: Uint8Array): string {
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  if (utf16) return new TextDecoder(bytes[0] === 0xff ? 'utf-16le' : 'utf-16be').decode(bytes);
  const head = new TextDecoder('latin1').decode(bytes.subarray(0, 200));
  const declared = /^[^<]*<\?xml[^>]*encoding=["']([\w.:-]{1,40})["']/.exec(head)?.[1];
  try {
    return new TextDecoder(declared ?? 'utf-8').decode(bytes);
  } catch {
    return new TextDecoder('utf-8').decode(bytes);
  }
}

interface Chosen {
  readonly part: PartRead;
  readonly voice: PartVoice;
  readonly name: string | null;
}

const SINGS =
  /\b(?:voices?|vocals?|vox|lead|melody|sopran\w*|alto|tenor|baritone?|choir|chorus|harmony|singers?|cantus)\b/i;
const PLAYS =
  /\b(?:piano|keyboard|organ|guitars?|gtr|banjo|mandolin|fiddle|violin|viola|cello|bass guitar|double bass|drums?|drumset|percussion|strings|dobro|accordion)\b/i;

function chooseVoices(parts: readonly PartRead[], findings: Findings): Chosen[] {
  const worded = parts.filter((part) => part.voices.some(({ words }) => words));
  const named = parts.filter((part) => SINGS.test(part.part.name ?? '') && part.voices.length > 0);
  const unplayed = parts.filter((part) => !PLAYS.test(part.part.name ?? '') && part.voices.length > 0);
  const rest = named.length > 0 ? named : unplayed.length > 0 ? unplayed : parts.slice(0, 1);
  const kept =
    worded.length > 0 ? parts.filter((part) => worded.includes(part) || named.includes(part)) : rest;
  for (const part of parts) {
    if (kept.includes(part) || part.voices.length === 0) continue;
    findings.leftOut(
      `the part "${part.part.name ?? part.part.id}", ${worded.length > 0 ? 'which has no words' : 'which nobody seems to sing'}`,
      itemAt(part.part.measures, 0).at,
    );
  }
  const chosen = kept.flatMap((part): Chosen[] => {
    const staffWithWords = part.voices.filter(({ words }) => words).map(({ staff }) => staff);
    const voices = part.voices
      .filter(({ staff }) =>
        staffWithWords.length > 0
          ? staffWithWords.includes(staff)
          : staff === 1 || SINGS.test(part.part.name ?? ''),
      )
      .sort((a, b) => a.staff - b.staff || a.voice.localeCompare(b.voice, 'en', { numeric: true }));
    for (const voice of part.voices)
      if (!voices.includes(voice))
        findings.leftOut(
          `voice ${voice.voice} of "${part.part.name ?? part.part.id}", on a staff without words`,
          itemAt(part.part.measures, 0).at,
        );
    return voices.map((voice, i) => ({
      part,
      voice,
      name: part.part.name === null ? null : i === 0 ? part.part.name : `${part.part.name} ${i + 1}`,
    }));
  });
  if (chosen.length > MOST_VOICES)
    findings.leftOut(`${chosen.length - MOST_VOICES} voices more than ${MOST_VOICES}`, 0);
  return chosen.slice(0, MOST_VOICES);
}

/** Bars as all parts together have them: the longest content, the signs of any part, the chords of all. */
function sharedBars(parts: readonly PartRead[], count: number, findings: Findings): VoiceBar[] {
  const bars: VoiceBar[] = [];
  let wrong = 0;
  for (let i = 0; i < count; i++) {
    const all = parts.flatMap((part) => part.measures[i] ?? []);
    const first = itemAt(all, 0);
    const content = Math.max(...all.map((measure) => measure.content));
    const full = fullTicks(first.meter);
    const ticks = content > 0 ? content : full;
    const pick = <T>(of: (measure: PartMeasure) => T | null): T | null =>
      all.map(of).find((value) => value !== null) ?? null;
    const chords = new Map<Ticks, PartMeasure['chords'][number]>();
    for (const measure of all)
      for (const chord of measure.chords) {
        const offset = Math.min(chord.offset, ticks - 1);
        if (!chords.has(offset)) chords.set(offset, { ...chord, offset });
      }
    if (content > full && first.meter !== 'free') {
      wrong += 1;
      if (wrong === 1)
        findings.warn(
          `a bar is longer than its time signature; it was taken as it is (${findings.sayPlace(first.at)})`,
        );
    }
    bars.push({
      at: first.at,
      ticks,
      meter: first.meter,
      key: pick(({ key }) => key),
      tempo: pick(({ tempo }) => tempo),
      part: pick(({ label }) => label),
      startRepeat: all.some(({ startRepeat }) => startRepeat),
      endRepeat: Math.max(...all.map(({ endRepeat }) => endRepeat)),
      doubled: all.some(({ doubled }) => doubled),
      ending: pick(({ ending }) => ending),
      chords: [...chords.values()].sort((a, b) => a.offset - b.offset),
      notes: [],
    });
  }
  return bars;
}

/** The notes of one voice in one bar, one after another: where two overlap, the first ends as the second begins. */
function notesOf(
  measure: PartMeasure | undefined,
  { voice }: PartVoice,
  bar: number,
  ticks: Ticks,
  findings: Findings,
): RawNote[] {
  const notes: RawNote[] = [];
  const found = [...(measure?.notes.get(voice) ?? [])].sort(
    (a, b) => a.offset - b.offset || (b.midi ?? -1) - (a.midi ?? -1),
  );
  for (const note of found) {
    const before = notes[notes.length - 1];
    if (before && before.offset + before.ticks > note.offset) {
      findings.warn(`notes of one voice overlap (${findings.sayPlace(note.at)})`);
      if (before.offset === note.offset) continue;
      before.ticks = note.offset - before.offset;
      before.tied = false;
    }
    if (note.offset < ticks) notes.push({ ...note, bar, ticks: Math.min(note.ticks, ticks - note.offset) });
  }
  return notes;
}

function swingOf(parts: readonly PartRead[], findings: Findings): number {
  const ratios = parts.flatMap((part) =>
    part.measures.flatMap(({ swing, at }) => (swing === null ? [] : [{ swing, at }])),
  );
  const first = ratios[0];
  const change = ratios.find(({ swing }) => swing !== first?.swing);
  if (change)
    findings.leftOut('a change between swing and straight; the first holds for the song', change.at);
  return first?.swing ?? 1;
}
