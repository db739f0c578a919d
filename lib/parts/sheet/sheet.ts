import { type Band, type Player, settingOf } from '../../song';
import type { Arrangement } from '../arrangement';
import type { Line } from '../lines';
import { othersInWords, type Part, partOf } from '../part';
import { passName } from '../sentences';
import { hangOf } from '../spacing';
import { courseInWords } from './course';
import { croppedTo } from './crop';
import { headBlocks, paragraph, textBlock } from './head';
import { heightOn, roomOn, sheetsFrom } from './paged';
import { rowsOf } from './row';
import { CHORDS_ROW, NOTES_ROW, type RowLook, WORDS_ROW } from './row-look';
import type { Run } from './text';
import { type Block, type Measure, type Paper, type Sheet, TURN_COSTS } from './types';

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
  /** What the song is called by in a book: stands before its title and in the foot; empty: nothing. */
  readonly label?: string;
  /** What comes before the song, a paragraph each. */
  readonly opening?: readonly (readonly Run[])[];
  /** What a reader has to know of the print itself, a sentence each. */
  readonly notes?: readonly string[];
  /** False where what to care for is said elsewhere. */
  readonly care?: boolean;
}

/** Sizes that one page is tried at, the largest first; the last leaves words of just under 10 pt, to be read at arm's length. */
const SCALES = [1, 0.94, 0.88, 0.82, 0.76, 0.7] as const;

/**
 * One player's part as pages of drawing instructions: head, order of the song, cues, then pass after pass. Nothing is cut by a page's edge,
 * and pages turn where the player's hands are free as far as that costs no page more. On one page: the whole song at the largest size that fits,
 * else the cues; where even those do not fit, the cues on as many pages as they take.
 */
export function sheetsOf(request: SheetRequest): readonly Sheet[] {
  const { density = 'whole', paper } = request;
  if (density !== 'one page') return laid(request, blocksOf(request, density, 1), 1);
  for (const content of ['whole', 'cues'] as const)
    for (const scale of SCALES) {
      const blocks = blocksOf(request, content, scale);
      const height = blocks.reduce((sum, block) => sum + block.height, 0);
      if (height <= heightOn(paper, scale)) return laid(request, blocks, scale);
    }
  return laid(request, blocksOf(request, 'cues', 1), 1);
}

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

function blocksOf(request: SheetRequest, density: 'whole' | 'cues', scale: number): readonly Block[] {
  const { arrangement, band, player, paper, measure } = request;
  const width = roomOn(paper, scale);
  const part = partOf(arrangement, band, player);
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
  return [...head, ...passBlocks(request, part, width, density)];
}

function passBlocks(
  { arrangement, band, player, measure }: SheetRequest,
  part: Part,
  width: number,
  density: 'whole' | 'cues',
): Block[] {
  const { song } = arrangement;
  const own = new Set(part.own.map(({ space }) => space.id));
  const written = new Set(
    part.own.filter(({ standing }) => standing.notes.length > 0).map(({ space }) => space.id),
  );
  const holds = (line: Line | undefined, ids: ReadonlySet<string>) =>
    line?.segments.some(({ spaces }) => spaces.some(({ space }) => ids.has(space.id))) ?? false;
  const shown = arrangement.passes.map((pass) =>
    density === 'whole'
      ? pass.lines
      : pass.lines.filter((line) => holds(line, own)).map((line) => croppedTo(line, own)),
  );
  const look = {
    player,
    bySpace: arrangement.bySpace,
    playerOf: (id: string) => band.players.find((one) => one.id === id) ?? null,
    instrument: settingOf(song, player).instrument,
    key: song.key,
    chordName: part.chordName,
  };
  const blocks: Block[] = [];
  arrangement.passes.forEach((pass, p) => {
    const lines = shown[p] ?? [];
    const played = song.passes.find((one) => one.id === pass.passId);
    const name = played ? passName(song, played) : sectionName(arrangement, pass.sectionId);
    const role = part.order.find((row) => row.passId === pass.passId)?.role ?? '';
    const aside = played
      ? [role, othersInWords(arrangement, band, played, player.id)].filter((text) => text !== '').join('. ')
      : '';
    const heading = paragraph('', 14, {
      runs: [
        { text: `${name}  `, face: 'strong' },
        { text: aside.charAt(0).toUpperCase() + aside.slice(1), face: 'plain' },
      ],
    });
    const after = lines.length === 0 ? TURN_COSTS.pass : TURN_COSTS.torn;
    blocks.push({ ...textBlock(heading, width, measure, 10, after), mark: name });
    const breaker = band.players.find((one) => played?.roles[one.id] === 'break') ?? null;
    lines.forEach((line, i) => {
      const plays = holds(line, written);
      const without = played?.stanza === null ? CHORDS_ROW : WORDS_ROW;
      const scale = plays ? arrangement.pixelsPerTick : arrangement.sheetPixelsPerTick;
      const row: RowLook = { ...look, geometry: NOTES_ROW, without, pixelsPerTick: scale, breaker };
      const next = lines[i + 1] ?? shown[p + 1]?.[0];
      const between = i === lines.length - 1 ? TURN_COSTS.pass : TURN_COSTS.line;
      const isBusy = plays || holds(next, written) || (breaker?.id === player.id && between > 0);
      const leavesOne = lines.length > 2 && (i === 0 || i === lines.length - 2);
      const turn = (isBusy ? TURN_COSTS.playing : between) + (leavesOne ? TURN_COSTS.lonely : 0);
      const hang = density === 'cues' ? 0 : hangOf(arrangement.passes, scale, NOTES_ROW.wordSize);
      const rows = rowsOf(line, row, width, hang);
      rows.forEach(({ drawing, height }, r) => {
        blocks.push({
          height,
          drawing,
          turn: r < rows.length - 1 ? TURN_COSTS.torn : turn,
          mark: null,
        });
      });
    });
  });
  return blocks;
}

const sectionName = ({ song }: Arrangement, sectionId: string): string =>
  song.sections.find(({ id }) => id === sectionId)?.name ?? '';
