import type { Band, Player } from '../../song';
import type { Arrangement } from '../arrangement';
import type { ChordWay } from '../chords';
import { roleIn } from '../company';
import { partOf } from '../part';
import { backupBlocks } from './backup';
import { chartBlocks } from './chart';
import { courseInWords } from './course';
import { headBlocks } from './head';
import { microphoneCues } from './microphone';
import { heightOn, roomOn, sheetsFrom } from './paged';
import { type Lines, passBlocks } from './passes';
import type { Run } from './text';
import type { Block, Measure, Paper, Sheet } from './types';
import { wordBlocks } from './words';

export const DENSITIES = ['whole', 'cues', 'one page'] as const;
/**
 * How much of a song a part holds: all of it; the order and the player's own spaces with what is sung round them; or
 * whatever goes on one page.
 */
export type Density = (typeof DENSITIES)[number];

export interface SheetRequest {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly player: Player;
  readonly paper: Paper;
  /** The day of the version, as it stands in the foot. */
  readonly asOf: string;
  readonly measure: Measure;
  readonly density?: Density;
  /** How chords are named; left out: as the player's shapes. */
  readonly chords?: ChordWay;
  /** What the song is called by in a book: stands before its title and in the foot; empty: nothing. */
  readonly label?: string;
  /** What comes before the song, a paragraph each. */
  readonly opening?: readonly (readonly Run[])[];
  /** What a reader has to know of the print itself, a sentence each. */
  readonly notes?: readonly string[];
  /** False where what to care for is said elsewhere. */
  readonly care?: boolean;
}

/** What a part holds beside its head. */
interface Content {
  readonly lines: Lines;
  /** Chords bar by bar, each section once. */
  readonly chart: boolean;
  /** The words alone. */
  readonly words: boolean;
}

const CONTENT = {
  whole: { lines: 'all', chart: false, words: false },
  cues: { lines: 'own spaces', chart: false, words: false },
  chart: { lines: 'own notes', chart: true, words: false },
  'chart and words': { lines: 'own notes', chart: true, words: true },
  words: { lines: 'own notes', chart: false, words: true },
} as const satisfies Readonly<Record<string, Content>>;

/**
 * What one page is tried with, the best first: how much of the song, and how large. At 0.7 words are just under 10 pt, to be read at arm's
 * length; a chart that is larger is read from farther away than whole lines that are smaller.
 */
const ON_ONE_PAGE: readonly (readonly [keyof typeof CONTENT, readonly number[]])[] = [
  ['whole', [1, 0.94, 0.88, 0.82]],
  ['chart and words', [1, 0.94, 0.88, 0.82, 0.76]],
  ['chart', [1, 0.94, 0.88, 0.82, 0.76, 0.7]],
  ['cues', [1, 0.94, 0.88, 0.82, 0.76, 0.7]],
];

/** The same for whoever sings lead: they need the words before the chords, which most know by heart. */
const ON_ONE_PAGE_SUNG: typeof ON_ONE_PAGE = [
  ['whole', [1, 0.94, 0.88, 0.82]],
  ['chart and words', [1, 0.94, 0.88, 0.82, 0.76]],
  ['words', [1, 0.94, 0.88, 0.82, 0.76]],
  ['chart and words', [0.7]],
  ['words', [0.7]],
  ...ON_ONE_PAGE.slice(2),
];

/** Drawn by so much smaller at most, a part that all but goes on one page has no turn. */
const SNUG = 0.94;

/** Said on a part that was wanted on one page and takes more. */
const TOO_LONG =
  'This part does not go on one page at a size that can be read: here are its cues on several.';

/**
 * One player's part as pages of drawing instructions: head, order of the song, cues, then pass after pass. Nothing is cut by a page's edge,
 * and pages turn where the player's hands are free as far as that costs no page more; what all but goes on one page is drawn a little smaller
 * and does. On one page, where that is asked for: the most of the song at the largest size
 * that fits (`ON_ONE_PAGE`); where not even the cues do, the cues on as many pages as they take, and a sentence that says so.
 */
export function sheetsOf(request: SheetRequest): readonly Sheet[] {
  const { density = 'whole', paper, arrangement, player } = request;
  if (density !== 'one page') return withFewTurns(request, CONTENT[density]);
  const { passes } = arrangement.song;
  const isLead = passes.some((pass) => roleIn(arrangement, pass, player) === 'lead');
  for (const [content, scales] of isLead ? ON_ONE_PAGE_SUNG : ON_ONE_PAGE)
    for (const scale of scales) {
      const blocks = blocksOf(request, CONTENT[content], scale);
      if (heightOf(blocks) <= heightOn(paper, scale)) return laid(request, blocks, scale);
    }
  const notes = [...(request.notes ?? []), TOO_LONG];
  return laid(request, blocksOf({ ...request, notes }, CONTENT.cues, 1), 1);
}

function withFewTurns(request: SheetRequest, content: Content): readonly Sheet[] {
  const blocks = blocksOf(request, content, 1);
  const sheets = laid(request, blocks, 1);
  const room = heightOn(request.paper, SNUG);
  // What is drawn smaller is never higher than it was.
  if (sheets.length !== 2 || heightOf(blocks) > room) return sheets;
  const smaller = blocksOf(request, content, SNUG);
  return heightOf(smaller) <= room ? laid(request, smaller, SNUG) : sheets;
}

const heightOf = (blocks: readonly Block[]): number => blocks.reduce((sum, block) => sum + block.height, 0);

function laid(request: SheetRequest, blocks: readonly Block[], scale: number): readonly Sheet[] {
  const { arrangement, band, player, paper, asOf, measure, label = '' } = request;
  const song = label === '' ? '' : `song ${label} · `;
  return sheetsFrom(blocks, {
    paper,
    measure,
    scale,
    foot: {
      left: `${band.name} · ${arrangement.song.title} · ${player.name}`,
      middle: `as of ${asOf}`,
      right: (page, pages) => `${song}page ${page} of ${pages}`,
    },
  });
}

/** On one page there is room for no more than the song itself. */
function blocksOf(request: SheetRequest, { lines, chart, words }: Content, scale: number): readonly Block[] {
  const withBackup = request.density !== 'one page';
  const { arrangement, band, player, paper, measure, chords = 'shapes' } = request;
  const width = roomOn(paper, scale);
  const part = partOf(arrangement, band, player, chords);
  const head = headBlocks({
    part,
    arrangement,
    width,
    measure,
    label: request.label ?? '',
    opening: request.opening ?? [],
    course: courseInWords(arrangement.song, band),
    notes: request.notes ?? [],
    care: request.care ?? true,
  });
  return [
    ...head,
    ...(withBackup ? backupBlocks(arrangement, band, player, part, width, measure) : []),
    ...(chart ? chartBlocks({ arrangement, names: part.chordName, under: null, width, measure }) : []),
    ...(words ? wordBlocks(arrangement, width, measure) : []),
    ...passBlocks({
      ...{ arrangement, players: band.players, player, part, lines, width, measure },
      cues: microphoneCues(arrangement, band, player),
    }),
  ];
}
