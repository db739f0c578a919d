import type { InstrumentName } from '../../lib/instruments';
import {
  arrange,
  type ChordWay,
  cribSheets,
  cuesOf,
  type Density,
  type Paper,
  PRINT_WORD_SIZE,
  type Sheet,
  sheetsOf,
  studentSheets,
  withNewcomer,
} from '../../lib/parts';
import type { Band, Player, Song } from '../../lib/song';
import { missingNotes, wordsOfBand, wordsOfSong } from './missing';
import { measure, type Pdf, paintPdf } from './pdf';

interface Printed {
  readonly band: Band;
  readonly song: Song;
  readonly paper: Paper;
  readonly madeAt: Date;
  /** As the date stands in the foot. */
  readonly asOf: string;
}

export interface PrintRequest extends Printed {
  readonly player: Player;
  readonly density?: Density;
  readonly chords?: ChordWay;
}

/** One player's part of a song. */
export function printPart(request: PrintRequest): Promise<Pdf> {
  const { band, song, player, density, chords } = request;
  const sheets = sheetsOf({
    ...laidOut(request, song),
    player,
    notes: notesOf(band, song),
    ...(density === undefined ? {} : { density }),
    ...(chords === undefined ? {} : { chords }),
  });
  return paint(request, `${song.title}: ${player.name}`, sheets);
}

/** All that somebody needs who sits in for a player, or is new on an instrument. */
export function printCrib(
  request: Printed & { readonly who: Player | { readonly newOn: InstrumentName } },
): Promise<Pdf> {
  const { band, who } = request;
  const { song, player } =
    'newOn' in who ? withNewcomer(band, request.song, who.newOn) : { song: request.song, player: who };
  const sheets = cribSheets({ ...laidOut(request, song), player, notes: notesOf(band, song) });
  return paint(request, `${song.title}: crib, ${player.name}`, sheets);
}

/** One fill or break alone, for a student; null where there is none with notes under this id. The file names nobody of the band. */
export function printStudent(request: Printed & { readonly answerId: string }): Promise<Pdf> | null {
  const { band, song, answerId } = request;
  const { arrangement, ...more } = laidOut(request, song);
  const standing = arrangement.standings.find(({ answer }) => answer.id === answerId);
  const holding = standing?.answer.holding;
  if (!standing || holding?.kind !== 'fill' || standing.notes.length === 0) return null;
  const player = band.players.find(({ id }) => id === holding.playerId);
  if (player === undefined) return null;
  const { space } = standing;
  const notes = missingNotes([
    { text: song.title, where: 'the title' },
    { text: space === null ? '' : cuesOf(arrangement, space).before, where: 'the words before it' },
  ]);
  const sheets = studentSheets({ ...more, arrangement, standing, player, notes });
  return paint(request, `${song.title}: to practise`, sheets, '');
}

const laidOut = ({ band, paper, asOf }: Printed, song: Song) => ({
  arrangement: arrange(song, PRINT_WORD_SIZE, null),
  band,
  paper,
  asOf,
  measure,
});

const notesOf = (band: Band, song: Song) => missingNotes([...wordsOfBand(band), ...wordsOfSong(song)]);

function paint(
  { band, song, paper, madeAt }: Printed,
  title: string,
  sheets: readonly Sheet[],
  author = band.name,
): Promise<Pdf> {
  return paintPdf({ title, author, paper, parts: [{ title: song.title, sheets }], madeAt });
}
