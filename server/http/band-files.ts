import type { MakeId, Problem } from '../../lib/base';
import { readBand, readSong } from '../../lib/document';
import { BAND_FILE_ENDING, writeBandFile } from '../../lib/exchange';
import {
  type BandMade,
  bandDocument,
  granted,
  LIMITS,
  type PageResult,
  parseDocument,
  type Refused,
  refuse,
  songDocument,
  whyNot,
} from '../../lib/protocol';
import type { Song } from '../../lib/song';
import { RateLimit } from '../access';
import type { Access, Clock, Session } from '../ports';
import type { Rooms } from '../sync';
import { readBytes } from './body';
import { FileAnswer } from './file-answer';
import type { Answered } from './house';
import { plain, type Route } from './route';
import { type ThreadLimits, ThreadQueue } from './thread-queue';

/** A band file, read: the band's document and its songs', each as one update, or why it is none. */
export type BandReading =
  | {
      readonly band: Uint8Array;
      readonly songs: readonly { readonly id: string; readonly update: Uint8Array }[];
    }
  | { readonly problem: Problem };

export interface BandFilesOptions {
  readonly access: Access;
  readonly rooms: Rooms;
  readonly makeId: MakeId;
  readonly reading?: Partial<ThreadLimits>;
}

const READING: ThreadLimits = { milliseconds: 60_000, megabytes: 768, atOnce: 1, waiting: 4 };
/** In the built server the reader lies beside it; from the sources it is a source too. */
const WORKER = import.meta.url.endsWith('.ts') ? './band-worker.ts' : './band-worker.mjs';

/** A whole band as one file, out and in. */
export class BandFiles {
  readonly #access: Access;
  readonly #rooms: Rooms;
  readonly #makeId: MakeId;
  readonly #threads: ThreadQueue;

  constructor({ access, rooms, makeId, reading }: BandFilesOptions) {
    this.#access = access;
    this.#rooms = rooms;
    this.#makeId = makeId;
    this.#threads = new ThreadQueue(new URL(WORKER, import.meta.url), { ...READING, ...reading });
  }

  /** All of a band but its links; for listeners too, who may read all of it. */
  async file(session: Session | null, bandId: string): Promise<PageResult<FileAnswer>> {
    const entered = await this.#access.entered(session, bandId);
    if (!entered.ok) return entered;
    const reading = await this.#rooms.read(bandDocument(bandId), readBand);
    if (reading === null) return refuse('not found', `band ${bandId}`);
    const { band } = reading;
    const songs: Song[] = [];
    for (const { id } of band.songs) {
      const song = await this.#rooms.read(songDocument(bandId, id), readSong);
      if (song !== null) songs.push(song.song);
    }
    const held = new Set(songs.map(({ id }) => id));
    // A song that was never stored is in no file: the list names what there is.
    const listed = { ...band, songs: band.songs.filter(({ id }) => held.has(id)) };
    const name = `${band.name.replace(/[\\/:*?"<>|]+/g, ' ').trim() || 'band'}${BAND_FILE_ENDING}`;
    const text = writeBandFile({ band: listed, songs });
    return granted(new FileAnswer(name, 'application/json; charset=utf-8', Buffer.from(text)));
  }

  /** A new band from a file, of which the session is a player; all of it or nothing. Which of its players is said later. */
  async make(session: Session | null, text: Uint8Array): Promise<Answered<BandMade>> {
    if (!(await this.#access.hasPlace(session))) return refuse('too many bands', 'this device');
    const bandId = this.#makeId();
    const outcome = await this.#threads.run<BandReading>({ text, bandId });
    if (outcome.kind === 'full') return refuse('too often', 'bringing bands back');
    if (outcome.kind !== 'done') return refuse('reading failed', 'the band file');
    const reading = outcome.value;
    if ('problem' in reading) return because(reading.problem);
    try {
      for (const { id, update } of reading.songs)
        await this.#rooms.createFrom(songDocument(bandId, id), update);
      await this.#rooms.createFrom(bandDocument(bandId), reading.band);
    } catch (error) {
      await this.#access.deleteBand(bandId, () =>
        this.#rooms.emptied((document) => parseDocument(document)?.bandId === bandId),
      );
      throw error;
    }
    const founded = await this.#access.found(session, bandId, null);
    if (!founded.ok) return founded;
    const links = {
      player: await this.#access.giveLink(bandId, 'player'),
      listener: await this.#access.giveLink(bandId, 'listener'),
    };
    return granted({ answer: { bandId, playerId: null, links }, session: founded.value });
  }
}

/** What is wrong with a file, in the words of whoever read it. */
const because = ({ what, where, mend }: Problem): Refused => ({
  ok: false,
  error: { ...whyNot('bad value'), what, where, mend },
});

/** `GET /api/bands/BAND/file` and `POST /api/bands/from-file`, whose body is the file. */
export function bandFileRoutes(files: BandFiles, clock: Clock): readonly Route[] {
  const taking = new RateLimit(30, 30, clock);
  const making = new RateLimit(10, 10, clock);
  return [
    {
      method: 'GET',
      path: ['bands', '*', 'file'],
      rate: taking,
      answer: ({ session, parts }) => plain(files.file(session, parts[0] ?? '')),
    },
    {
      method: 'POST',
      path: ['bands', 'from-file'],
      status: 201,
      rate: making,
      answer: async ({ request, session }) => {
        const text = await readBytes(request, LIMITS.bandFile);
        return text.ok ? files.make(session, text.value) : text;
      },
    },
  ];
}
