import type { Result } from '../../lib/base';
import type { FileSong } from '../../lib/exchange';
import type { Player, SetList } from '../../lib/song';

/** A band file's bytes. */
export type ReadBandRequest = Uint8Array;

/** What of a band file can come into another band. */
export interface BandFileRead {
  /** Empty: the file holds songs alone. */
  readonly bandName: string;
  readonly songs: readonly FileSong[];
  /** The file's players whom a song of it names. */
  readonly players: readonly Player[];
  /** Ids of those whom its songs name and its list of players does not know (any more). */
  readonly strangers: readonly string[];
  readonly sets: readonly SetList[];
}

export type ReadBandAnswer = Result<BandFileRead>;
