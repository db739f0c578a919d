import { type Player, settingOf } from '../../song';
import type { Ticks } from '../../time';
import type { Arrangement } from '../arrangement';
import { ledIn } from '../led-in';
import type { Line, PassLines } from '../lines';
import type { Part } from '../part';
import { passName } from '../sentences';
import { hangOf } from '../spacing';
import { croppedTo } from './crop';
import { companyIn, paragraph, textBlock } from './head';
import type { RowCue } from './microphone';
import { rowsOf } from './row';
import { CHORDS_ROW, NOTES_ROW, type RowLook, WORDS_ROW } from './row-look';
import { type Block, type Measure, TURN_COSTS } from './types';

/** Which lines of a song are drawn: all; those with the player's spaces, cut down to them; those with the player's notes, likewise. */
export type Lines = 'all' | 'own spaces' | 'own notes';

export interface PassesRequest {
  readonly arrangement: Arrangement;
  readonly players: readonly Player[];
  readonly player: Player;
  readonly part: Part;
  readonly lines: Lines;
  /** What the player is told to do beside playing and singing. */
  readonly cues: readonly RowCue[];
  readonly width: number;
  readonly measure: Measure;
}

const holds = (line: Line | undefined, ids: ReadonlySet<string>): boolean =>
  line?.segments.some(({ spaces }) => spaces.some(({ space }) => ids.has(space.id))) ?? false;

/** Pass after pass, each under its name: a block for each row of its lines. Passes of which no line is drawn are left out, unless all are. */
export function passBlocks(request: PassesRequest): readonly Block[] {
  const { arrangement, part, lines } = request;
  const own = new Set(part.own.map(({ space }) => space.id));
  const written = new Set(
    part.own.filter(({ standing }) => standing.notes.length > 0).map(({ space }) => space.id),
  );
  const wanted = lines === 'own notes' ? written : own;
  const shown = arrangement.passes.map((pass) => {
    const led = ledIn(arrangement, pass, request.player.id);
    const cropped = () => led.filter((line) => holds(line, wanted)).map((line) => croppedTo(line, wanted));
    return { pass, lines: lines === 'all' ? led : cropped() };
  });
  const drawn = lines === 'all' ? shown : shown.filter((one) => one.lines.length > 0);
  return drawn.flatMap((one, p) => [
    headingOf(one.pass, one.lines, request),
    ...one.lines.flatMap((line, i) =>
      lineBlocks(line, {
        ...request,
        pass: one.pass,
        written,
        next: one.lines[i + 1] ?? drawn[p + 1]?.lines[0],
        isLast: i === one.lines.length - 1,
        leavesOne: one.lines.length > 2 && (i === 0 || i === one.lines.length - 2),
      }),
    ),
  ]);
}

function headingOf(pass: PassLines, lines: readonly Line[], request: PassesRequest): Block {
  const { arrangement, part, width, measure } = request;
  const { song } = arrangement;
  const played = song.passes.find((one) => one.id === pass.passId);
  const name = played
    ? passName(song, played)
    : (song.sections.find(({ id }) => id === pass.sectionId)?.name ?? '');
  const row = part.order.find((one) => one.passId === pass.passId);
  const aside = row ? [row.role, companyIn(row)].filter((text) => text !== '').join('. ') : '';
  const heading = paragraph('', 14, {
    runs: [
      { text: `${name}  `, face: 'strong' },
      { text: aside.charAt(0).toUpperCase() + aside.slice(1), face: 'plain' },
    ],
  });
  const after = lines.length === 0 ? TURN_COSTS.pass : TURN_COSTS.torn;
  return { ...textBlock(heading, width, measure, 10, after), mark: name };
}

/** A singer's breaths without those where a space that nobody plays in begins: its own sign stands there. */
function breathsUnsaid({ spaces, bySpace }: Arrangement, { breaths }: Part): ReadonlySet<Ticks> {
  if (breaths.size === 0) return breaths;
  const said = spaces.filter(
    ({ id }) => (bySpace.get(id)?.answer.holding.kind ?? 'left open') === 'left open',
  );
  const isSaid = (tick: Ticks) =>
    said.some(({ startTick, tailTicks }) => startTick <= tick && tick <= startTick + tailTicks);
  return new Set([...breaths].filter((tick) => !isSaid(tick)));
}

interface LineRequest extends PassesRequest {
  readonly pass: PassLines;
  readonly written: ReadonlySet<string>;
  readonly next: Line | undefined;
  readonly isLast: boolean;
  readonly leavesOne: boolean;
}

function lineBlocks(line: Line, request: LineRequest): readonly Block[] {
  const { arrangement, players, player, part, pass, written, next, isLast, leavesOne, width } = request;
  const { song } = arrangement;
  const played = song.passes.find((one) => one.id === pass.passId);
  const breaker = players.find((one) => played?.roles[one.id] === 'break') ?? null;
  const plays = holds(line, written);
  const scale = plays ? arrangement.pixelsPerTick : arrangement.sheetPixelsPerTick;
  const look: RowLook = {
    player,
    bySpace: arrangement.bySpace,
    playerOf: (id) => players.find((one) => one.id === id) ?? null,
    instrument: settingOf(song, player).instrument,
    key: song.key,
    chordName: part.chordName,
    breaths: breathsUnsaid(arrangement, part),
    geometry: NOTES_ROW,
    without: played?.stanza === null ? CHORDS_ROW : WORDS_ROW,
    pixelsPerTick: scale,
    breaker,
    cues: request.cues,
  };
  const between = isLast ? TURN_COSTS.pass : TURN_COSTS.line;
  const isBusy = plays || holds(next, written);
  const ownBreak = breaker?.id === player.id && !isLast;
  const turnHere = ownBreak ? TURN_COSTS.withinBreak : isBusy ? TURN_COSTS.playing : between;
  const turn = turnHere + (leavesOne ? TURN_COSTS.lonely : 0);
  const hang = request.lines === 'all' ? hangOf(arrangement.passes, scale, NOTES_ROW.wordSize) : 0;
  const rows = rowsOf(line, look, width, hang);
  return rows.map(({ drawing, height }, r) => ({
    height,
    drawing,
    turn: r < rows.length - 1 ? TURN_COSTS.torn : turn,
    mark: null,
  }));
}
