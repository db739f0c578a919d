import { setInWords } from '../../sets';
import { type Band, type Player, type Song, settingOf } from '../../song';
import { keyName } from '../../theory';
import {
  type Block,
  endingInWords,
  heightOn,
  type Measure,
  type Paper,
  POINT,
  paragraph,
  roomOn,
  rule,
  type Sheet,
  sheetsFrom,
  starterInWords,
  TURN_COSTS,
  textBlock,
} from '../sheet';
import { rowBlock } from './columns';
import type { Evening, EveningSong } from './evening';

export interface FloorRequest {
  readonly evening: Evening;
  readonly band: Band;
  /** Whose capos stand on it; null: everybody's, by initials. */
  readonly player: Player | null;
  readonly paper: Paper;
  readonly asOf: string;
  readonly measure: Measure;
  /** What a reader has to know of the print itself, a sentence each: at the end of the first page. */
  readonly notes: readonly string[];
}

/** Sizes that a set is tried at on one page, the largest first: titles of 48 pt down to 18 pt. */
const SCALES = [1.7, 1.5, 1.35, 1.2, 1.1, 1.05, 1, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65] as const;
const TITLE = 28;
const UNDER = 12;
/** Between two columns. */
const APART = 14;
/** From this scale on titles are of 34 pt or more, to be read from two metres while standing. By eye. */
const STILL_LARGE = 1.2;

/**
 * The list for the floor: each set on a page of its own, as large as it goes onto one, and on several where it does not. Title, key and
 * capo large; under them who starts, the first words and the ending.
 */
export function floorSheets(request: FloorRequest): readonly Sheet[] {
  const { evening, band, player, paper, asOf, measure, notes } = request;
  // A set of no songs is a page that says so.
  const sets = evening.sets.length > 0 ? evening.sets : [{ songs: [], seconds: 0 }];
  return sets.flatMap((set, i) => {
    const name = evening.sets.length > 1 ? `${evening.name}: ${setInWords(i).toLowerCase()}` : evening.name;
    const at = (scale: number) => [
      ...floorBlocks(request, set.songs, name, roomOn(paper, scale)),
      ...(i > 0 ? [] : notes).map((note) =>
        textBlock(paragraph(note, 10 / scale, { tone: 'quiet' }), roomOn(paper, scale), measure, 6),
      ),
    ];
    const fits = (scale: number) =>
      at(scale).reduce((sum, block) => sum + block.height, 0) <= heightOn(paper, scale);
    const inOneLine = (scale: number) =>
      set.songs.every((one) => {
        const { inset, capoAt } = columnsOf(one, player, roomOn(paper, scale), measure);
        return measure(one.title, TITLE * POINT, 'strong') <= capoAt - inset - APART;
      });
    // A title in one line is found at a glance: for that, what is large is made somewhat smaller.
    const fitting =
      SCALES.find((scale) => scale >= STILL_LARGE && fits(scale) && inOneLine(scale)) ??
      SCALES.find(fits) ??
      1;
    return sheetsFrom(at(fitting), {
      paper,
      measure,
      scale: fitting,
      foot: {
        left: [band.name, evening.name, ...(player === null ? [] : [player.name])].join(' · '),
        middle: `as of ${asOf}`,
        right: (page, pages) =>
          `floor list${evening.sets.length > 1 ? `, set ${i + 1}` : ''} · page ${page} of ${pages}`,
      },
    });
  });
}

function floorBlocks(
  { band, player, measure }: FloorRequest,
  songs: readonly EveningSong[],
  name: string,
  width: number,
): readonly Block[] {
  return [
    textBlock(paragraph(name, 12, { tone: 'quiet' }), width, measure),
    { height: 8, drawing: [rule(3, width)], turn: TURN_COSTS.torn, mark: null },
    ...(songs.length === 0
      ? [textBlock(paragraph('There is no song in this set yet.', UNDER), width, measure)]
      : songs.flatMap((one) => songBlocks(one, band, player, width, measure))),
  ];
}

/** Where a song's number, title, capo and key stand. */
function columnsOf({ song, number }: EveningSong, player: Player | null, width: number, measure: Measure) {
  const inset = number > 99 ? 62 : 46;
  const key = song === null ? '' : keyName(song.key);
  const keyWidth = Math.min(0.3 * width, measure(key, TITLE * POINT, 'strong') + 4);
  const capos = song === null || player === null ? '' : capoOf(song, player);
  const capoWidth = Math.min(0.28 * width, measure(capos, UNDER * POINT, 'strong') + 4);
  const capoAt = width - keyWidth - (capos === '' ? 0 : capoWidth + APART);
  return { inset, key, keyWidth, capos, capoWidth, capoAt };
}

function songBlocks(
  one: EveningSong,
  band: Band,
  player: Player | null,
  width: number,
  measure: Measure,
): readonly Block[] {
  const { song, title, number } = one;
  const { inset, key, keyWidth, capos, capoWidth, capoAt } = columnsOf(one, player, width, measure);
  const row = rowBlock(
    [
      { text: paragraph(String(number), 16, { tone: 'quiet' }), x: 0, width: inset },
      {
        text: paragraph('', TITLE, { runs: [{ text: title, face: 'strong' }], leading: 1.12 }),
        x: inset,
        width: capoAt - inset - APART,
      },
      ...(capos === ''
        ? []
        : [
            {
              text: paragraph('', UNDER, { runs: [{ text: capos, face: 'strong' }], leading: 1.15 }),
              x: capoAt,
              width: capoWidth,
            },
          ]),
      {
        text: paragraph('', TITLE, { runs: [{ text: key, face: 'strong' }], leading: 1.12 }),
        x: width - keyWidth,
        width: keyWidth,
        toRight: true,
      },
    ],
    measure,
    { before: 3, turn: TURN_COSTS.torn },
  );
  const everybody = song === null || player !== null ? '' : caposOf(song, band);
  const under = [
    one.following.kind === 'no stop' ? 'no stop' : '',
    ...(song === null ? [] : courseOf(song, one.firstWords, band)),
    everybody === '' ? '' : `capo: ${everybody}`,
  ].filter((text) => text !== '');
  if (under.length === 0) return [{ ...row, turn: TURN_COSTS.line }];
  const small = paragraph('', UNDER, {
    runs: [{ text: under.join(' · '), face: 'plain' }],
    indent: inset,
    leading: 1.2,
  });
  return [row, textBlock(small, width, measure, 0, TURN_COSTS.line)];
}

/** Who starts, the first words, the ending. */
function courseOf(song: Song, firstWords: string, band: Band): readonly string[] {
  const starter = starterInWords(song, band);
  const ending = endingInWords(song, band);
  return [
    starter ?? '',
    firstWords === '' ? '' : `“${firstWords}…”`,
    ending === null ? '' : `ends: ${ending}`,
  ];
}

/** `capo 2`; empty without one. */
function capoOf(song: Song, player: Player): string {
  const { capo } = settingOf(song, player);
  return capo === 0 ? '' : `capo ${capo}`;
}

/** `IR 2, TW 2`: everybody who has one. */
function caposOf(song: Song, band: Band): string {
  return band.players
    .map((one) => ({ one, capo: settingOf(song, one).capo }))
    .filter(({ capo }) => capo > 0)
    .map(({ one, capo }) => `${one.initials} ${capo}`)
    .join(', ');
}
