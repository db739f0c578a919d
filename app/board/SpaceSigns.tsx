import {
  beatsInFigures,
  lengthInFigures,
  type Segment,
  type SpacePart,
  type Spacing,
  widthInEms,
} from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import { standsAt } from './geometry';
import type { LineLook } from './look';
import { BRACKET_INSET, bracketOf } from './strokes';

/** A mark of a breath. */
export function BreathSign({
  left,
  base,
  tone,
}: {
  readonly left: number;
  readonly base: number;
  readonly tone: string;
}) {
  return (
    <span className="breath" aria-hidden="true" style={{ ...standsAt(left + 2, base - 33), color: tone }}>
      {'\u{E4CE}'}
    </span>
  );
}

/** How long an open space is, over its bracket. */
export function Length({
  part,
  segment,
  spacing,
  geometry,
  pixelsPerTick: scale,
}: Pick<LineLook, 'geometry' | 'pixelsPerTick'> & {
  readonly part: SpacePart;
  readonly segment: Segment;
  readonly spacing: Spacing;
}) {
  const { space } = part;
  const { x1, x2, y } = bracketOf(part, spacing, { geometry });
  const whole = lengthInFigures(space, beatTicks(segment.bar.bar.meter));
  const longest = (space.endTick - space.startTick) * scale - BRACKET_INSET;
  // Where all of it has no room, its length alone.
  const label = widthInEms(whole) * 15 < Math.min(longest, 260) ? whole : beatsInFigures(space.beats);
  const room = widthInEms(label) * 15;
  // The length stands in the first piece that has room for it, or in the first where none has.
  const isHere =
    part.startTick === space.startTick
      ? x2 - x1 > room || (space.endTick - segment.endTick) * scale < room
      : x2 - x1 > room && (part.startTick - space.startTick) * scale - BRACKET_INSET <= room;
  if (!isHere) return null;
  // Under the bracket where an echo is sung over it.
  const hasEcho = segment.echoes.some(
    ({ startTick, endTick }) => startTick < part.endTick && endTick > part.startTick,
  );
  return (
    <span
      className="length"
      aria-hidden="true"
      style={{ ...standsAt(x1, hasEcho ? y + 2 : y - 22), minWidth: x2 - x1 }}
    >
      {label}
    </span>
  );
}

/** Theirs, as they like. */
export function Wave({
  left,
  width,
  base,
  ink,
}: {
  readonly left: number;
  readonly width: number;
  readonly base: number;
  readonly ink: number;
}) {
  const step = 9;
  const count = Math.max(1, Math.floor(width / step));
  let path = 'M0 0';
  for (let i = 0; i < count; i++) path += `q${step / 2} ${i % 2 === 0 ? -7 : 7} ${step} 0`;
  return (
    <svg className="drawn" aria-hidden="true" style={standsAt(left, base - 6)} width={width} height="1">
      <path d={path} fill="none" stroke={`var(--ink-${ink})`} strokeWidth="1.4" strokeLinecap="round" />
    </svg>
  );
}
