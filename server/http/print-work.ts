import type { InstrumentName } from '../../lib/instruments';
import type { ChordWay, Density, Paper } from '../../lib/parts';
import type { BookRequest, BookStamps, RefusalCode } from '../../lib/protocol';
import type { Band, SetList, Song } from '../../lib/song';

interface Print {
  readonly paper: Paper;
  /** Milliseconds since 1970. */
  readonly madeAt: number;
}

interface Sheets extends Print {
  readonly density: Density;
}

/** For whom a crib is: whoever sits in for a player, or is new on an instrument. */
export type CribFor = { readonly playerId: string } | { readonly newOn: InstrumentName };

/** What the printing thread is asked to make. */
export type PrintWork =
  | (Sheets & {
      readonly kind: 'part';
      readonly band: Band;
      readonly song: Song;
      readonly playerId: string;
      readonly chords: ChordWay;
    })
  | (Print & { readonly kind: 'crib'; readonly band: Band; readonly song: Song; readonly who: CribFor })
  | (Print & {
      readonly kind: 'student';
      readonly band: Band;
      readonly song: Song;
      readonly answerId: string;
    })
  | { readonly kind: 'file'; readonly band: Band; readonly song: Song; readonly ending: string }
  | {
      readonly kind: 'left out';
      readonly band: Band;
      readonly song: Song;
      readonly endings: readonly string[];
    }
  | (Sheets & {
      readonly kind: 'book';
      readonly band: Band;
      readonly set: SetList;
      readonly songs: readonly Song[];
      /** Whose books; of several, one archive. */
      readonly playerIds: readonly string[];
      /** By player, the parts wanted; null: the whole book. */
      readonly only: BookRequest['only'];
      /** No file: only what its parts are stamped with. */
      readonly stampsOnly: boolean;
    });

/** What it says. Bytes are made over to whoever hears it. */
export type PrintMessage =
  | { readonly kind: 'progress'; readonly done: number; readonly of: number }
  | {
      readonly kind: 'made';
      readonly name: string;
      readonly bytes: Uint8Array;
      /** Of a book. */
      readonly stamps?: BookStamps;
    }
  | { readonly kind: 'stamps'; readonly stamps: BookStamps }
  | { readonly kind: 'left out'; readonly byEnding: Readonly<Record<string, readonly string[]>> }
  | { readonly kind: 'refused'; readonly code: RefusalCode; readonly where: string };
