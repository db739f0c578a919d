import type { Result } from '../../lib/base';
import type { SongRead, TuneInBook } from '../../lib/exchange';

export interface ReadRequest {
  readonly text: string;
  /** The song's title where the text names none. */
  readonly title: string;
  /** Which of the text's tunes, from 0. */
  readonly which: number;
}

export interface ReadAnswer {
  /** The tunes that the text holds; empty where it could not be read at all. */
  readonly tunes: readonly TuneInBook[];
  readonly which: number;
  readonly result: Result<SongRead>;
}
