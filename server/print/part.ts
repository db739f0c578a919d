import { arrange, type Density, type Paper, PRINT_WORD_SIZE, sheetsOf } from '../../lib/parts';
import type { Band, Player, Song } from '../../lib/song';
import { missingNotes, wordsOfBand, wordsOfSong } from './missing';
import { measure, type Pdf, paintPdf } from './pdf';

export interface PrintRequest {
  readonly band: Band;
  readonly song: Song;
  readonly player: Player;
  readonly paper: Paper;
  readonly density?: Density;
  readonly madeAt: Date;
  /** As the date stands in the foot. */
  readonly asOf: string;
}

/** One player's part of a song. */
export function printPart({ band, song, player, paper, density, madeAt, asOf }: PrintRequest): Promise<Pdf> {
  const arrangement = arrange(song, PRINT_WORD_SIZE, null);
  const notes = missingNotes([...wordsOfBand(band), ...wordsOfSong(song)]);
  const sheets = sheetsOf({
    arrangement,
    band,
    player,
    paper,
    asOf,
    measure,
    notes,
    ...(density === undefined ? {} : { density }),
  });
  return paintPdf({
    title: `${song.title}: ${player.name}`,
    author: band.name,
    paper,
    parts: [{ title: song.title, sheets }],
    madeAt,
  });
}
