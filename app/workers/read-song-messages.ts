import type { Result } from '../../lib/base';
import type { SongRead, TuneInBook } from '../../lib/exchange';

export interface ReadRequest {
  /** A text, or a file as it is, where people do not read it as text. */
  readonly source: string | { readonly name: string; readonly bytes: Uint8Array };
  /** The song's title where the source names none. */
  readonly title: string;
  /** Which of a text's tunes, or of a MIDI file's voices, from 0; null: the first, or the one that is most likely sung. */
  readonly which: number | null;
}

export interface ReadAnswer {
  /** The tunes that a text holds, or the voices of a MIDI file; empty where it could not be read at all. */
  readonly tunes: readonly TuneInBook[];
  readonly which: number;
  readonly result: Result<SongRead>;
}
