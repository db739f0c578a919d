import { beatsInFigures, lengthInFigures, type Segment, type SpacePart, widthInEms } from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import type { LineLook } from './look';

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
    <span className="breath" aria-hidden="true" style={{ left: left + 2, top: base - 33, color: tone }}>
      {'\u{E4CE}'}
    </span>
  );
}

/** A pencil bracket under an unclaimed space, open where it goes on in the next bar. */
export function Bracket({
  left,
  width,
  isFirst,
  geometry,
  part,
  segment,
  pixelsPerTick: scale,
}: Pick<LineLook, 'geometry' | 'pixelsPerTick'> & {
  readonly left: number;
  readonly width: number;
  readonly isFirst: boolean;
  readonly part: SpacePart;
  readonly segment: Segment;
}) {
  const { space } = part;
  const isLast = part.endTick === space.endTick;
  const inset = 14;
  const x1 = left + (isFirst ? inset : 0);
  const x2 = left + width - (isLast ? 6 : 0);
  const y = geometry.wordBase + 5;
  const whole = lengthInFigures(space, beatTicks(segment.bar.bar.meter));
  const longest = (space.endTick - space.startTick) * scale - inset;
  // Where all of it has no room, its length alone.
  const label = widthInEms(whole) * 15 < Math.min(longest, 260) ? whole : beatsInFigures(space.beats);
  const room = widthInEms(label) * 15;
  // The length stands in the first piece that has room for it, or in the first where none has.
  const isHere = isFirst
    ? x2 - x1 > room || (space.endTick - segment.endTick) * scale < room
    : x2 - x1 > room && (part.startTick - space.startTick) * scale - inset <= room;
  return (
    <>
      <svg
        className="pointer-events-none absolute inset-0 overflow-visible"
        aria-hidden="true"
        width="1"
        height="1"
      >
        <path
          d={`M${isFirst ? `${x1} ${y - 5}V` : `${x1} `}${y}H${x2}${isLast ? `V${y - 5}` : ''}`}
          fill="none"
          stroke="var(--accent)"
          strokeWidth="1.2"
          strokeLinecap="round"
        />
      </svg>
      {isHere && (
        <span className="length" aria-hidden="true" style={{ left: x1, minWidth: x2 - x1, top: y - 22 }}>
          {label}
        </span>
      )}
    </>
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
    <svg
      className="pointer-events-none absolute overflow-visible"
      aria-hidden="true"
      style={{ left, top: base - 6 }}
      width={width}
      height="1"
    >
      <path d={path} fill="none" stroke={`var(--ink-${ink})`} strokeWidth="1.4" strokeLinecap="round" />
    </svg>
  );
}
