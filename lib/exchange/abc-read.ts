import { fail, itemAt, lastOf, type MakeId, ok, type Result } from '../base';
import type { Player, Song } from '../song';
import { alignVoices } from './abc-align';
import type { Parser } from './abc-code';
import { readMusic } from './abc-music';
import { scanTune } from './abc-scan';
import { buildSong, type VoiceRead } from './abc-song';
import { type BookText, looksLikeAbc, plainText, splitBook, type TuneText, unreadable } from './abc-text';
import { layWords } from './abc-words';
import { Findings, type ReadReport } from './report';
import { reportSong } from './report-song';
import { readPhraseSlurs } from './slurs';

/** What reading needs from outside. */
export interface ReadOptions {
  /** The same ids in the same order give the same song. */
  readonly makeId: MakeId;
  /** Where the text names none. */
  readonly title: string;
}

/** A song and what became of its file. */
export interface SongRead {
  readonly song: Song;
  readonly report: ReadReport;
  /** Of a band file: the band's players, whom the song's answers name. */
  readonly players?: readonly Player[];
}

/** A tune of a file, as its header names it. */
export interface TuneInBook {
  readonly number: string | null;
  readonly title: string | null;
  /** The tune's first line, from 1. */
  readonly line: number;
}

/** A song of 500 bars in four voices with words has some 100 000 characters. */
const MOST_OF_A_TUNE = 400_000;

let parser: Promise<Parser> | null = null;

/** abcjs is loaded once, when the first ABC text is read. */
function loadParser(): Promise<Parser> {
  parser ??= import('abcjs/src/parse/abc_parse.js').then((module) => module.default);
  return parser;
}

/**
 * Reads the first tune of an ABC text into a song: 960 ticks to a quarter note, pitch as sounded, ties joined, of a chord in brackets
 * the highest note, grace notes left out, repeats as sections, endings and passes. What a song cannot hold, or what cannot be read, is
 * listed with its place; the rest is read. Takes time in proportion to the text.
 *
 * @returns the song with its report; a problem where the text is no ABC, holds no music, or is beyond 2 million characters
 */
export async function readAbc(text: string, options: ReadOptions): Promise<Result<SongRead>> {
  const book = openBook(text);
  if (!book.ok) return book;
  const tune = itemAt(book.value.tunes, 0);
  return readTune(book.value, tune, options, await loadParser());
}

/** Reads every tune of an ABC text, each with its own answer, in the file's order. */
export async function readAbcBook(
  text: string,
  options: ReadOptions,
): Promise<Result<readonly (TuneInBook & { readonly result: Result<SongRead> })[]>> {
  const book = openBook(text);
  if (!book.ok) return book;
  const loaded = await loadParser();
  return ok(
    book.value.tunes.map((tune) => ({
      ...named(book.value, tune),
      result: readTune(book.value, tune, options, loaded),
    })),
  );
}

/** The tunes that an ABC text holds, without reading their music. */
export function listAbcTunes(text: string): Result<readonly TuneInBook[]> {
  const book = openBook(text);
  return book.ok ? ok(book.value.tunes.map((tune) => named(book.value, tune))) : book;
}

interface OpenBook extends BookText {
  readonly text: string;
}

const named = (book: OpenBook, tune: TuneText): TuneInBook => ({
  number: tune.number,
  title: tune.title,
  line: new Findings(book.text).placeOf(tune.at).line,
});

function openBook(text: string): Result<OpenBook> {
  const problem = unreadable(text);
  if (problem) return { ok: false, error: problem };
  const plain = plainText(text);
  const book = splitBook(plain);
  if (!looksLikeAbc(plain) || book.tunes.length === 0)
    return fail(
      'this does not look like ABC',
      'the whole text',
      'an ABC tune starts with a line "X:1" and has a line "K:" with its key; the music follows it',
    );
  return ok({ ...book, text: plain });
}

function readTune(book: OpenBook, tune: TuneText, options: ReadOptions, loaded: Parser): Result<SongRead> {
  const findings = new Findings(book.text);
  const last = lastOf(tune.lines);
  if (last.at + last.text.length - tune.at > MOST_OF_A_TUNE)
    return fail(
      `this tune has more than ${MOST_OF_A_TUNE} characters`,
      `line ${findings.placeOf(tune.at).line}`,
      'check that it is one song: each tune of a file starts with its own line X:',
    );
  const version = /^%abc-(\d+)\.(\d+)/.exec(book.text);
  const version21 = version !== null && (Number(version[1]) > 2 || Number(version[2]) >= 1);
  const scanned = scanTune(book, tune, version21, findings);
  reportBook(book, tune, findings);

  const voices: VoiceRead[] = [];
  for (const voice of scanned.voices) {
    const bars = readMusic(scanned, voice, loaded, findings);
    layWords(voice, bars, scanned.strictWords, findings);
    readPhraseSlurs(bars, findings);
    if (bars.length > 0) voices.push({ text: voice, bars });
  }
  const where = `line ${findings.placeOf(tune.at).line}`;
  if (voices.length === 0)
    return fail(
      'this tune has no music',
      scanned.title ? `"${scanned.title}", ${where}` : where,
      'write the notes below the line with the key (K:), each bar closed by |',
    );
  const song = buildSong(
    scanned,
    voices,
    alignVoices(
      voices.map(({ text, bars }) => ({ id: text.id, bars })),
      findings,
    ),
    (scanned.title ?? options.title).slice(0, 200),
    options.makeId,
    findings,
  );
  reportSong(song, findings);
  if (scanned.title === null) findings.guessed(`no title is given (T:); "${song.title}" was taken`);
  return ok({ song, report: findings.report() });
}

function reportBook(book: OpenBook, tune: TuneText, findings: Findings): void {
  const first = book.rejoined.find((line) => tune.lines.includes(line));
  if (first)
    findings.guessed(
      `music goes on after an empty line; it was taken as the same tune (${findings.sayPlace(first.at)})`,
    );
  const inFirst = book.tunes[0] === tune;
  if (!inFirst) return;
  for (const line of book.between)
    findings.leftOutEach(
      'a line of text outside the tunes',
      (n) => `${n} lines of text outside the tunes`,
      line.at,
    );
  if (book.tunes.length > 1)
    findings.warn(`the file holds ${book.tunes.length} tunes; this is the first of them`);
}
