import {
  type Arrangement,
  arrange,
  type Density,
  type EveningOnPaper,
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

/** The evening books of a band: what holds for all players is worked out once. */
export class EveningBooks {
  readonly #request: BookRequest;
  readonly #evening: EveningOnPaper;
  readonly #songs: ReadonlyMap<string, Song>;
  readonly #notes = new Map<string, readonly string[]>();
  readonly #arrangements = new Map<string, Arrangement>();

  constructor(request: BookRequest) {
    this.#request = request;
    this.#songs = new Map(request.songs.map((song) => [song.id, song]));
    this.#evening = eveningOnPaper(request.band, request.set, this.#songs);
  }

  /** Songs that a book goes through: what `onSong` is called for. */
  get songCount(): number {
    return this.#inOrder().length;
  }

  /** One player's book: set list and index, each song's part, the list for the floor. Songs are laid out and painted one after another. */
  book(player: Player, onSong: () => void = () => {}): Promise<Pdf> {
    const { band, set, paper, asOf, madeAt, density } = this.#request;
    const common = { band, paper, asOf, measure };
    const evening = this.#evening;
    const notes = missingNotes([...wordsOfBand(band), ...wordsOfSet(set), ...this.#titles()]);
    const songs = this.#inOrder();
    const arranged = (song: Song) => this.#arranged(song);
    const notesOf = (song: Song) => this.#notesOf(song);
    function* parts(): Generator<PdfPart> {
      yield { title: 'Set list', sheets: frontSheets({ ...common, evening, player, notes }) };
      for (const { one, song } of songs) {
        const sheets = sheetsOf({
          ...common,
          arrangement: arranged(song),
          player,
          density,
          label: String(one.number),
          opening: openingOf(one, player),
          notes: notesOf(song),
          care: false,
        });
        yield { title: `${one.number}. ${one.title}`, sheets };
        onSong();
      }
      yield { title: 'Floor list', sheets: floorSheets({ ...common, evening, player }) };
    }
    return paintPdf({
      title: `${set.name}: ${player.name}`,
      author: band.name,
      paper,
      parts: parts(),
      madeAt,
    });
  }

  /** The list for the floor, with everybody's capos. */
  floorList(): Promise<Pdf> {
    const { band, set, paper, asOf, madeAt } = this.#request;
    const sheets = floorSheets({ band, paper, asOf, measure, evening: this.#evening, player: null });
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

  #notesOf(song: Song): readonly string[] {
    let known = this.#notes.get(song.id);
    if (known === undefined) {
      known = missingNotes(wordsOfSong(song));
      this.#notes.set(song.id, known);
    }
    return known;
  }
}
