import type { CSSProperties } from 'react';
import { itemAt } from '../../lib/base';
import { type Segment, type SpacePart, type Spacing, widthInEms } from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import { BAR_TICK, BEAT_TICK } from './geometry';
import type { LineLook } from './look';
import { roomForHolder } from './room-for-holder';

/** A straight stroke along or across: its left, top, width and height in pixels of its segment, and its pen. */
type Stroke = readonly [x: number, y: number, width: number, height: number, pen: Pen];
type Pen = 'ink' | 'faint' | 'accent';

const THIN = 1;
/** Strokes of a bracket. */
const BOLD = 1.2;

/** A segment as it stands in its line. */
export interface Placed extends LineLook {
  readonly segment: Segment;
  readonly spacing: Spacing;
}

/**
 * The straight strokes of each segment of a line, painted by its own background: a drawing in each bar is a layer in the
 * browser, and a song has hundreds of bars.
 */
export function strokesBehind(line: readonly Placed[]): readonly CSSProperties[] {
  const held = holds(line);
  return line.map((placed, i) => {
    const strokes = [...ticks(placed, i === line.length - 1), ...(held[i] ?? []), ...brackets(placed)];
    const last = placed.spacing.width - THIN;
    return {
      backgroundImage: strokes.map((stroke) => `var(--stroke-${stroke[4]})`).join(),
      backgroundPosition: strokes.map(([x, y]) => `${px(Math.min(x, last))} ${px(y)}`).join(),
      backgroundSize: strokes.map(([, , width, height]) => `${px(width)} ${px(height)}`).join(),
    };
  });
}

const px = (value: number): string => `${Math.round(value * 10) / 10}px`;

function ticks({ segment, spacing, geometry }: Placed, closes: boolean): readonly Stroke[] {
  const tick = (at: number, height: number, pen: Pen): Stroke => [
    spacing.xOf(at),
    geometry.tickTop,
    THIN,
    height,
    pen,
  ];
  const isBar = (beat: number) => segment.startsBar && beat === segment.startTick;
  return [
    ...segment.beats.map((beat) =>
      isBar(beat) ? tick(beat, BAR_TICK, 'ink') : tick(beat, BEAT_TICK, 'faint'),
    ),
    ...(segment.startsBar && segment.beats[0] !== segment.startTick
      ? [tick(segment.startTick, BAR_TICK, 'ink')]
      : []),
    ...(closes && segment.endsBar ? [tick(segment.endTick, BAR_TICK, 'ink')] : []),
  ];
}

/** Syllables held for longer than this many beats have a line. */
const HELD_BEATS = 1.5;

/**
 * A held syllable has a line as long as it is held, over barlines too; a note without words is a line alone. Told for each
 * segment.
 */
function holds(line: readonly Placed[]): readonly (readonly Stroke[])[] {
  const found: Stroke[][] = line.map(() => []);
  line.forEach(({ segment, spacing, geometry }, i) => {
    const beat = beatTicks(segment.bar.bar.meter);
    const parts = [...segment.spaces, ...(line[i + 1]?.segment.spaces ?? [])];
    for (const syllable of segment.syllables) {
      const isBare = syllable.text === '';
      if (!isBare && syllable.endTick - syllable.startTick < HELD_BEATS * beat) continue;
      const written = syllable.joins ? `${syllable.text}-` : syllable.text;
      const text = isBare ? 1 : (widthInEms(written) + 0.2) * geometry.wordSize;
      // Under a tail the space's own sign takes over; before notes, their holder's initials.
      const tail = parts.find(
        (part) => part.startTick > syllable.startTick && part.startTick < syllable.endTick,
      );
      const endTick = tail?.startTick ?? syllable.endTick;
      const after = parts.find((part) => part.startTick === endTick);
      const pieces = piecesUpTo(line, i, spacing.xOf(syllable.startTick) + text, endTick, after);
      const length = pieces.reduce((sum, { x1, x2 }) => sum + x2 - x1, 0);
      if (length < (isBare ? 2 : 12)) continue;
      for (const { at, x1, x2 } of pieces)
        found[at]?.push([x1, itemAt(line, at).geometry.wordBase, x2 - x1, THIN, isBare ? 'ink' : 'faint']);
    }
  });
  return found;
}

/** From a place in one segment on to a tick, be it in a later one: what of it lies in each, with room before what stands there. */
function piecesUpTo(
  line: readonly Placed[],
  from: number,
  start: number,
  endTick: number,
  after: SpacePart | undefined,
): readonly { readonly at: number; readonly x1: number; readonly x2: number }[] {
  const pieces: { at: number; x1: number; x2: number }[] = [];
  for (let at = from; at < line.length; at++) {
    const { segment, spacing, ...look } = itemAt(line, at);
    const x1 = at === from ? start : 0;
    const isLast = endTick <= segment.endTick || at === line.length - 1;
    const room = isLast ? Math.max(roomForHolder(after && look.bySpace.get(after.space.id), look), 5) : 0;
    const x2 = isLast ? spacing.xOf(Math.min(endTick, segment.endTick)) - room : spacing.width;
    if (x2 > x1) pieces.push({ at, x1, x2 });
    if (isLast) break;
  }
  return pieces;
}

/** Whether nobody has a space, so that it stands open on the board. */
export function isOpen({ space }: SpacePart, { spaces, bySpace, breakOf }: LineLook): boolean {
  const isBreak = space.kind === 'instrumental';
  return spaces !== null && !bySpace.has(space.id) && !(isBreak && breakOf(space.place.passId) !== null);
}

/** Where the bracket under a part of an open space stands: from its left to its right, and its height. */
export function bracketOf(
  part: SpacePart,
  spacing: Spacing,
  { geometry }: Pick<LineLook, 'geometry'>,
): { readonly x1: number; readonly x2: number; readonly y: number } {
  const isFirst = part.startTick === part.space.startTick;
  const isLast = part.endTick === part.space.endTick;
  return {
    x1: spacing.xOf(part.startTick) + (isFirst ? BRACKET_INSET : 0),
    x2: spacing.xOf(part.endTick) - (isLast ? 6 : 0),
    y: geometry.wordBase + 5,
  };
}
export const BRACKET_INSET = 14;

/** A pencil bracket under each unclaimed space, open where it goes on in the next bar. */
function brackets({ segment, spacing, ...look }: Placed): readonly Stroke[] {
  return segment.spaces.flatMap((part): readonly Stroke[] => {
    if (!isOpen(part, look)) return [];
    const { x1, x2, y } = bracketOf(part, spacing, look);
    const up = (x: number): Stroke => [x - BOLD / 2, y - 5, BOLD, 5, 'accent'];
    return [
      [x1, y - BOLD / 2, x2 - x1, BOLD, 'accent'],
      ...(part.startTick === part.space.startTick ? [up(x1)] : []),
      ...(part.endTick === part.space.endTick ? [up(x2)] : []),
    ];
  });
}
