import {
  type Arrangement,
  arrange,
  BOOK_LISTS,
  type Density,
  type EveningOnPaper,
  type EveningSong,
  eveningOnPaper,
  floorSheets,
  frontSheets,
  openingOf,
  type Paper,
  PRINT_WORD_SIZE,
  sheetsOf,
} from '../../lib/parts';
import type { Band, Player, SetList, Song } from '../../lib/song';
import { missingNotes, type Written, wordsOfBand, wordsOfSet, wordsOfSong } from './missing';
import { measure, type Pdf, type PdfPart, paintPdf } from './pdf';

export interface BookRequest {
  readonly band: Band;
  readonly set: SetList;
  readonly songs: readonly Song[];
  readonly paper: Paper;
  readonly density: Density;
  readonly madeAt: Date;
  /** As the date stands in the foot. */
  readonly asOf: string;
}

/** Which parts of a book are wanted: entries of the set, and the names of `BOOK_LISTS`; null: all. */
type Wanted = ReadonlySet<string> | null;

/** A book, and what each of its parts is stamped with. */
export type Book = Pdf & { readonly stamps: Readonly<Record<string, string>> };

/** Writes down what the parts that go through are stamped with. */
function* stamped(
  parts: Iterable<PdfPart & { readonly name: string }>,
  stamps: Record<string, string>,
): Generator<PdfPart> {
  for (const part of parts) {
    const [sheet] = part.sheets;
    if (sheet !== undefined) stamps[part.name] = sheet.stamp;
    yield part;
  }
}

/** The evening books of a band: what holds for all players is worked out once. */
export class EveningBooks {
  readonly #request: BookRequest;
  readonly #evening: EveningOnPaper;
  readonly #songs: ReadonlyMap<string, Song>;
  /** By entry: what no font here has of a song's own words and of what is said to it in the set. */
  readonly #notes = new Map<string, readonly string[]>();
  readonly #arrangements = new Map<string, Arrangement>();

  constructor(request: BookRequest) {
    this.#request = request;
    this.#songs = new Map(request.songs.map((song) => [song.id, song]));
    this.#evening = eveningOnPaper(request.band, request.set, this.#songs);
  }

  /** Songs that a book goes through: what `onSong` is called for. */
  songCount(only: Wanted = null): number {
    return this.#inOrder().filter(({ one }) => only === null || only.has(one.entry.id)).length;
  }

  /**
   * One player's book: set list and index, each song's part, the list for the floor. Songs are laid out and painted one after another.
   *
   * @param only the parts that are wanted; null: all of them
   */
  async book(player: Player, only: Wanted = null, onSong: () => void = () => {}): Promise<Book> {
    const { band, set, paper, madeAt } = this.#request;
    const stamps: Record<string, string> = {};
    const pdf = await paintPdf({
      title: `${set.name}: ${player.name}`,
      author: band.name,
      paper,
      parts: stamped(this.#parts(player, only, onSong), stamps),
      madeAt,
    });
    return { ...pdf, stamps };
  }

  /** What each part of one player's book would be stamped with, without painting it. */
  stamps(player: Player, only: Wanted = null, onSong: () => void = () => {}): Book['stamps'] {
    const stamps: Record<string, string> = {};
    for (const _ of stamped(this.#parts(player, only, onSong), stamps));
    return stamps;
  }

  *#parts(player: Player, only: Wanted, onSong: () => void): Generator<PdfPart & { readonly name: string }> {
    const { band, paper, asOf, density } = this.#request;
    const common = { band, paper, asOf, measure };
    const evening = this.#evening;
    const isWanted = (name: string) => only === null || only.has(name);
    const [setList, floorList] = BOOK_LISTS;
    if (isWanted(setList)) {
      const notes = this.#listNotes();
      yield {
        name: setList,
        title: 'Set list',
        sheets: frontSheets({ ...common, evening, player, notes }),
      };
    }
    for (const { one, song } of this.#inOrder()) {
      if (!isWanted(one.entry.id)) continue;
      const sheets = sheetsOf({
        ...common,
        arrangement: this.#arranged(song),
        player,
        density,
        label: String(one.number),
        opening: openingOf(one, player),
        notes: this.#notesOf(one, song),
        care: false,
      });
      yield { name: one.entry.id, title: `${one.number}. ${one.title}`, sheets };
      onSong();
    }
    if (isWanted(floorList))
      yield {
        name: floorList,
        title: 'Floor list',
        sheets: floorSheets({ ...common, evening, player, notes: [] }),
      };
  }

  /** The list for the floor, with everybody's capos. */
  floorList(): Promise<Pdf> {
    const { band, set, paper, asOf, madeAt } = this.#request;
    const sheets = floorSheets({
      band,
      paper,
      asOf,
      measure,
      evening: this.#evening,
      player: null,
      notes: this.#listNotes(),
    });
    return paintPdf({
      title: `${set.name}: floor list`,
      author: band.name,
      paper,
      parts: [{ title: 'Floor list', sheets }],
      madeAt,
    });
  }

  #inOrder() {
    return this.#evening.sets.flatMap((set) =>
      set.songs.flatMap((one) => (one.song === null ? [] : [{ one, song: one.song }])),
    );
  }

  /** What no font here has of the words that stand on the lists. */
  #listNotes(): readonly string[] {
    const { band, set } = this.#request;
    return missingNotes([...wordsOfBand(band), ...wordsOfSet(set), ...this.#titles()]);
  }

  #titles(): readonly Written[] {
    return this.#evening.sets.flatMap((set) =>
      set.songs.map(({ title, number }) => ({ text: title, where: `the title of song ${number}` })),
    );
  }

  #arranged(song: Song): Arrangement {
    let known = this.#arrangements.get(song.id);
    if (known === undefined) {
      known = arrange(song, PRINT_WORD_SIZE, null);
      this.#arrangements.set(song.id, known);
    }
    return known;
  }

  #notesOf({ entry, lastTime }: EveningSong, song: Song): readonly string[] {
    let known = this.#notes.get(entry.id);
    if (known === undefined) {
      known = missingNotes([
        ...wordsOfSong(song),
        { text: entry.note, where: 'the note to the song' },
        { text: lastTime ?? '', where: 'what was said after the last gig' },
      ]);
      this.#notes.set(entry.id, known);
    }
    return known;
  }
}
