import type { MakeId } from '../../lib/base';
import type { ChordWay, Density, Paper } from '../../lib/parts';
import {
  type BookJob,
  type BookRequest,
  granted,
  type LeftOut,
  type PageData,
  type PageResult,
  refuse,
} from '../../lib/protocol';
import type { Band, Song } from '../../lib/song';
import type { Clock } from '../ports';
import { Books } from './books';
import { FileAnswer } from './file-answer';
import type { CribFor, PrintMessage, PrintWork } from './print-work';
import { type ThreadLimits, ThreadQueue } from './thread-queue';

/** In the built server the printer lies beside it; from the sources it is a source too. */
const FILE = import.meta.url.endsWith('.ts') ? './print-worker.ts' : './print-worker.mjs';
const PART_LIMITS: ThreadLimits = { milliseconds: 30_000, megabytes: 256, atOnce: 1, waiting: 16 };
const BOOK_LIMITS: ThreadLimits = { milliseconds: 180_000, megabytes: 384, atOnce: 1, waiting: 16 };

/**
 * Types of the files that a song is taken out as, by ending. Sources: MusicXML 4.0 (W3C), its media types; IANA's register for text/vnd.abc
 * and text/plain, from memory; audio/midi is common practice.
 */
export const FILE_TYPES: Readonly<Record<string, string>> = {
  musicxml: 'application/vnd.recordare.musicxml+xml; charset=utf-8',
  mxl: 'application/vnd.recordare.musicxml',
  mid: 'audio/midi',
  abc: 'text/vnd.abc; charset=utf-8',
  txt: 'text/plain; charset=utf-8',
  'breathmark.json': 'application/json; charset=utf-8',
};

export interface PrinterOptions {
  readonly pages: Pick<PageData, 'band' | 'song'>;
  readonly clock: Clock;
  readonly makeId: MakeId;
  /** Told of what went wrong on our side. */
  readonly report: (error: unknown) => void;
  readonly limits?: Partial<ThreadLimits>;
}

export interface Look {
  readonly paper: Paper;
  readonly density: Density;
  readonly chords: ChordWay;
}

/** What is taken along from a band: parts, songs as files, evening books. For everybody who may read the band. */
export class Printer {
  readonly #pages: Pick<PageData, 'band' | 'song'>;
  readonly #clock: Clock;
  readonly #threads: ThreadQueue;
  readonly #books: Books;

  constructor({ pages, clock, makeId, report, limits = {} }: PrinterOptions) {
    const module = new URL(FILE, import.meta.url);
    this.#pages = pages;
    this.#clock = clock;
    this.#threads = new ThreadQueue(module, { ...PART_LIMITS, ...limits }, report);
    this.#books = new Books(new ThreadQueue(module, { ...BOOK_LIMITS, ...limits }, report), clock, makeId);
  }

  /** One player's part of a song. */
  async part(
    cookie: string | null,
    bandId: string,
    songId: string,
    playerId: string,
    look: Look,
  ): Promise<PageResult<FileAnswer>> {
    return this.#sheet(cookie, bandId, songId, (band, song) => ({
      kind: 'part',
      band,
      song,
      playerId,
      ...look,
      madeAt: this.#clock(),
    }));
  }

  /** A song for somebody who sits in. */
  async crib(
    cookie: string | null,
    bandId: string,
    songId: string,
    who: CribFor,
    paper: Paper,
  ): Promise<PageResult<FileAnswer>> {
    return this.#sheet(cookie, bandId, songId, (band, song) => ({
      kind: 'crib',
      band,
      song,
      who,
      paper,
      madeAt: this.#clock(),
    }));
  }

  /** One settled fill or break alone, for a student: the answer by its id. */
  async student(
    cookie: string | null,
    bandId: string,
    songId: string,
    answerId: string,
    paper: Paper,
  ): Promise<PageResult<FileAnswer>> {
    return this.#sheet(cookie, bandId, songId, (band, song) => ({
      kind: 'student',
      band,
      song,
      answerId,
      paper,
      madeAt: this.#clock(),
    }));
  }

  /** A song in the format of an ending. */
  async file(
    cookie: string | null,
    bandId: string,
    songId: string,
    ending: string,
  ): Promise<PageResult<FileAnswer>> {
    const page = await this.#pages.song(bandId, songId, cookie);
    if (!page.ok) return page;
    const type = Object.hasOwn(FILE_TYPES, ending) ? FILE_TYPES[ending] : undefined;
    if (type === undefined) return refuse('not found', `file.${ending}`);
    const made = await this.#make({ kind: 'file', band: page.value.band, song: page.value.song, ending });
    return made.ok ? granted(new FileAnswer(made.value.name, type, made.value.bytes)) : made;
  }

  /** What of a song no file of an ending can hold, for every ending. */
  async leftOut(cookie: string | null, bandId: string, songId: string): Promise<PageResult<LeftOut>> {
    const page = await this.#pages.song(bandId, songId, cookie);
    if (!page.ok) return page;
    const endings = Object.keys(FILE_TYPES);
    const message = await this.#ask({
      kind: 'left out',
      band: page.value.band,
      song: page.value.song,
      endings,
    });
    if (!message.ok) return message;
    return message.value.kind === 'left out'
      ? granted({ byEnding: message.value.byEnding })
      : refuse('printing failed', `song ${songId}`);
  }

  /** Begins the evening books of a set: of one player, or of several as an archive. Songs are as they are at this moment. */
  async startBook(
    cookie: string | null,
    bandId: string,
    setId: string,
    { paper, density, playerIds, only, stampsOnly }: BookRequest,
  ): Promise<PageResult<BookJob>> {
    const page = await this.#pages.band(bandId, cookie);
    if (!page.ok) return page;
    const { band } = page.value;
    const set = band.sets.find(({ id }) => id === setId);
    if (set === undefined) return refuse('not found', `set ${setId}`);
    const players = playerIds ?? band.players.map(({ id }) => id);
    const stranger = players.find((id) => !band.players.some((player) => player.id === id));
    if (stranger !== undefined || players.length === 0)
      return refuse('no such player', `player ${stranger ?? ''}`);
    const songs: Song[] = [];
    for (const songId of new Set(set.entries.map((entry) => entry.songId))) {
      const read = await this.#pages.song(bandId, songId, cookie);
      // A song that is no longer there leaves its place on the list.
      if (read.ok) songs.push(read.value.song);
      else if (read.error.code !== 'not found') return read;
    }
    return this.#books.start(bandId, {
      kind: 'book',
      band: { ...withoutOthers(band, [set]), remarks: band.remarks },
      set,
      songs,
      playerIds: [...new Set(players)],
      only,
      stampsOnly,
      paper,
      density,
      madeAt: this.#clock(),
    });
  }

  async book(cookie: string | null, bandId: string, bookId: string): Promise<PageResult<BookJob>> {
    const page = await this.#pages.band(bandId, cookie);
    return page.ok ? this.#books.status(bandId, bookId) : page;
  }

  async stopBook(cookie: string | null, bandId: string, bookId: string): Promise<PageResult<BookJob>> {
    const page = await this.#pages.band(bandId, cookie);
    return page.ok ? this.#books.stop(bandId, bookId) : page;
  }

  async bookFile(cookie: string | null, bandId: string, bookId: string): Promise<PageResult<FileAnswer>> {
    const page = await this.#pages.band(bandId, cookie);
    return page.ok ? this.#books.file(bandId, bookId) : page;
  }

  /** Stops what is being made. */
  stop(): void {
    this.#books.stopAll();
  }

  /** Something of one song as a PDF. */
  async #sheet(
    cookie: string | null,
    bandId: string,
    songId: string,
    workOf: (band: Band, song: Song) => PrintWork,
  ): Promise<PageResult<FileAnswer>> {
    const page = await this.#pages.song(bandId, songId, cookie);
    if (!page.ok) return page;
    const made = await this.#make(workOf(withoutOthers(page.value.band, []), page.value.song));
    return made.ok ? granted(new FileAnswer(made.value.name, 'application/pdf', made.value.bytes)) : made;
  }

  async #make(work: PrintWork): Promise<PageResult<Extract<PrintMessage, { readonly kind: 'made' }>>> {
    const message = await this.#ask(work);
    if (!message.ok) return message;
    return message.value.kind === 'made' ? granted(message.value) : refuse('printing failed', 'the file');
  }

  async #ask(work: PrintWork): Promise<PageResult<PrintMessage>> {
    const outcome = await this.#threads.run<PrintMessage>(work);
    if (outcome.kind === 'full') return refuse('too often', 'printing');
    if (outcome.kind !== 'done') return refuse('printing failed', 'the file');
    const message = outcome.value;
    return message.kind === 'refused' ? refuse(message.code, message.where) : granted(message);
  }
}

/** The band without what no page shows, so that less goes to the thread. */
function withoutOthers<
  B extends { readonly sets: unknown; readonly figures: unknown; readonly remarks: unknown },
>(band: B, sets: B['sets']): B {
  return { ...band, sets, figures: [], remarks: [] };
}
