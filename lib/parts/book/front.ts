import { clockInFigures, setInWords } from '../../sets';
import { type Band, type Player, settingOf } from '../../song';
import { keyName } from '../../theory';
import { tempoInSigns } from '../sentences';
import {
  type Block,
  type Measure,
  type Paper,
  paragraph,
  type Run,
  roomOn,
  rule,
  type Sheet,
  sheetsFrom,
  TURN_COSTS,
  textBlock,
} from '../sheet';
import { rowBlock } from './columns';
import type { Evening, EveningSong } from './evening';

export interface FrontRequest {
  readonly evening: Evening;
  readonly band: Band;
  readonly player: Player;
  readonly paper: Paper;
  readonly asOf: string;
  readonly measure: Measure;
  readonly notes: readonly string[];
}

/** The pages before the songs of one player's evening book: the set list with its clock and what to change, and the index by title. */
export function frontSheets(request: FrontRequest): readonly Sheet[] {
  const { evening, band, player, paper, asOf, measure, notes } = request;
  const width = roomOn(paper);
  const blocks: Block[] = [
    textBlock(
      paragraph('', 24, { runs: [{ text: evening.name, face: 'words' }], leading: 1.15 }),
      width,
      measure,
    ),
    textBlock(
      paragraph('', 13, {
        runs: [
          { text: player.name, face: 'strong' },
          { text: `, ${band.name}. ${lengthInWords(evening)}`, face: 'plain' },
        ],
      }),
      width,
      measure,
      3,
    ),
    ...notes.map((note) => textBlock(paragraph(note, 10, { tone: 'quiet' }), width, measure, 2)),
    { height: 16, drawing: [rule(8, width)], turn: TURN_COSTS.torn, mark: null },
    ...evening.sets.flatMap((set, i) => [
      ...(evening.sets.length > 1 ? [setHeading(i, set.seconds, width, measure)] : []),
      ...set.songs.flatMap((song) => songRows(song, player, width, measure)),
    ]),
    ...indexBlocks(evening, width, measure),
  ];
  return sheetsFrom(blocks, {
    paper,
    measure,
    scale: 1,
    foot: {
      left: `${band.name} · ${evening.name} · ${player.name}`,
      middle: `as of ${asOf}`,
      right: (page, pages) => `set list · page ${page} of ${pages}`,
    },
  });
}

function lengthInWords({ sets, seconds, targetSeconds }: Evening): string {
  const count = sets.reduce((sum, set) => sum + set.songs.length, 0);
  if (count === 0) return 'There is no song in this set yet.';
  const songs = `${count} ${count === 1 ? 'song' : 'songs'}, ${clockInFigures(seconds)}`;
  return `${songs}${targetSeconds === null ? '' : ` of ${clockInFigures(targetSeconds)} promised`}.`;
}

function setHeading(index: number, seconds: number, width: number, measure: Measure): Block {
  const runs: Run[] = [
    { text: setInWords(index), face: 'strong' },
    { text: `, ${clockInFigures(seconds)}`, face: 'plain' },
  ];
  return textBlock(paragraph('', 13, { runs }), width, measure, index === 0 ? 0 : 14);
}

const NUMBER = 34;
const KEY = 170;
const TEMPO = 110;
const CLOCK = 60;
const SPACE = 12;

function songRows(one: EveningSong, player: Player, width: number, measure: Measure): readonly Block[] {
  const { number, title, song, startSeconds, following } = one;
  const titleWidth = width - NUMBER - KEY - TEMPO - CLOCK - 3 * SPACE;
  const keyAt = NUMBER + titleWidth + SPACE;
  const row = rowBlock(
    [
      { text: paragraph(`${number}.`, 13), x: 0, width: NUMBER },
      {
        text: paragraph('', 14, { runs: [{ text: title, face: 'words' }], leading: 1.2 }),
        x: NUMBER,
        width: titleWidth,
      },
      ...(song === null
        ? []
        : [
            { text: paragraph(keyFor(one, player), 12), x: keyAt, width: KEY },
            {
              text: paragraph(song.tempo === null ? '' : tempoInSigns(song.tempo, meterOf(song)), 12),
              x: keyAt + KEY + SPACE,
              width: TEMPO,
            },
            {
              text: paragraph(clockInFigures(startSeconds), 12, { tone: 'quiet' }),
              x: width - CLOCK,
              width: CLOCK,
              toRight: true,
            },
          ]),
    ],
    measure,
    { before: 4, turn: TURN_COSTS.torn },
  );
  const transition = 'transition' in following ? following.transition : null;
  const own = transition?.changes.find(({ playerId }) => playerId === player.id);
  const under = [
    following.kind === 'no stop' ? 'no stop before it' : '',
    own === undefined ? '' : own.steps.join(', '),
    one.entry.talkSeconds > 0 ? `talk ${clockInFigures(one.entry.talkSeconds)}` : '',
    one.entry.note,
  ].filter((text) => text !== '');
  if (under.length === 0) return [{ ...row, turn: TURN_COSTS.line }];
  const small = paragraph('', 11, {
    runs: [{ text: under.join(' · '), face: 'italic' }],
    indent: NUMBER,
  });
  return [row, textBlock(small, width, measure, 0, TURN_COSTS.line)];
}

/** `A, capo 2`: as sounded, and how this player plays it. */
function keyFor({ song }: EveningSong, player: Player): string {
  if (song === null) return '';
  const { capo } = settingOf(song, player);
  return `${keyName(song.key)}${capo === 0 ? '' : `, capo ${capo}`}`;
}

const meterOf = (song: NonNullable<EveningSong['song']>) =>
  song.sections[0]?.bars.find((bar) => !bar.pickup)?.meter;

const GUTTER = 36;

/** By title: where a song stands, by its number in the set, so that the list holds when songs are cut. */
function indexBlocks(evening: Evening, width: number, measure: Measure): readonly Block[] {
  const songs = evening.sets.flatMap((set) => set.songs);
  if (songs.length < 2) return [];
  const sorted = [...songs].sort((a, b) => a.title.localeCompare(b.title, 'en') || a.number - b.number);
  const half = Math.ceil(sorted.length / 2);
  const column = (width - GUTTER) / 2;
  const cellsOf = (one: EveningSong | undefined, x: number) =>
    one === undefined
      ? []
      : [
          {
            text: paragraph('', 12, { runs: [{ text: one.title, face: 'words' }] }),
            x,
            width: column - NUMBER - SPACE,
          },
          { text: paragraph(String(one.number), 12), x: x + column - NUMBER, width: NUMBER, toRight: true },
        ];
  return [
    textBlock(paragraph('', 13, { runs: [{ text: 'By title', face: 'strong' }] }), width, measure, 20),
    ...sorted
      .slice(0, half)
      .map((left, i) =>
        rowBlock([...cellsOf(left, 0), ...cellsOf(sorted[half + i], column + GUTTER)], measure),
      ),
  ];
}
