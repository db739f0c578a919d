import {
  beatsInFigures,
  type Drawing,
  fillDrawing,
  lengthInFigures,
  NUMBER_INSET,
  roomBefore,
  type Segment,
  type SpacePart,
  type Spacing,
  type Standing,
  widthInEms,
} from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import type { Inks } from './inks';
import type { LineLook } from './look';
import { Painter } from './Painter';
import { SpaceMark } from './SpaceMark';

interface SpaceProps extends LineLook {
  readonly part: SpacePart;
  readonly segment: Segment;
  readonly spacing: Spacing;
}

/** The piece of a space that lies in one segment: what can be touched, and what stands in it. */
export function SpaceInLine(props: SpaceProps) {
  const { part, spacing, geometry, spaces, bySpace } = props;
  const left = spacing.xOf(part.startTick);
  const width = spacing.xOf(part.endTick) - left;
  const isFirst = part.startTick === part.space.startTick;
  const standing = bySpace.get(part.space.id) ?? null;
  const peers = isFirst && spaces ? spaces.peersAt(part.space.id) : [];
  return (
    <>
      {spaces && (
        <SpaceMark
          isFirst={isFirst}
          left={left}
          width={width}
          height={geometry.height}
          label={spaces.labelOf(part.space.id)}
          isOpen={spaces.openId === part.space.id}
          peers={peers}
          spaceId={part.space.id}
          press={() => spaces.press(part.space.id)}
        />
      )}
      <Inside {...props} left={left} width={width} isFirst={isFirst} standing={standing} />
    </>
  );
}

interface InsideProps extends SpaceProps {
  readonly left: number;
  readonly width: number;
  readonly isFirst: boolean;
  readonly standing: Standing | null;
}

function Inside(props: InsideProps) {
  const { part, standing, isFirst, left, geometry, spaces, onlyPlayer } = props;
  const base = geometry.wordBase;
  const isBreak = part.space.kind === 'instrumental';
  const holding = standing?.answer.holding ?? null;
  const breaker = isBreak && standing === null ? props.breakOf(part.space.place.passId) : null;
  if (holding === null && breaker === null) {
    if (!spaces) return isFirst ? <BreathSign left={left} base={base} tone="var(--quiet)" /> : null;
    return (
      <>
        {isFirst && <BreathSign left={left} base={base} tone="var(--accent)" />}
        <Bracket {...props} />
      </>
    );
  }
  if (holding?.kind === 'left open') {
    return isFirst ? <BreathSign left={left} base={base} tone="var(--quiet)" /> : null;
  }
  const holderId = holding?.playerId ?? null;
  const holder = breaker ?? (holderId === null ? null : props.playerOf(holderId));
  const isShown = onlyPlayer === null || holderId === onlyPlayer;
  const trouble = isFirst ? props.troubleOf(part.space.id) : null;
  return (
    <>
      {holding?.kind === 'fill' && isShown && holderId !== null ? (
        <Notes {...props} holderId={holderId} holder={holder} />
      ) : (
        <AdLib {...props} holder={holder} isBreak={isBreak} />
      )}
      {trouble !== null && (
        <span className="misfit" style={{ left, top: geometry.tickTop + 10 }}>
          no longer fits: {trouble}
        </span>
      )}
    </>
  );
}

/** The notes that fall in this piece, from the first on; the initials before them. */
function Notes({
  standing,
  part,
  segment,
  spacing,
  geometry,
  holderId,
  holder,
  instrumentOf,
  songKey,
  isFirst,
}: InsideProps & { readonly holderId: string; readonly holder: Inks | null }) {
  const first = standing?.notes[0];
  const last = standing?.notes[standing.notes.length - 1];
  if (!standing || !first || !last) return null;
  const startTick = Math.max(part.startTick, first.tick);
  // The frame closes a little after the last number, within its bar.
  const endTick = Math.min(part.endTick, Math.max(last.tick + last.ticks, last.tick + 480));
  if (endTick <= startTick) return null;
  const begins = startTick === first.tick;
  const frame = { instrument: instrumentOf(holderId), top: geometry.tabTop, bottom: geometry.tabBottom };
  const left = spacing.xOf(startTick);
  const width = Math.max(spacing.xOf(endTick) - left, NUMBER_INSET + 10);
  const drawing: Drawing = fillDrawing(standing.notes, {
    ...frame,
    startTick,
    endTick,
    xOf: (tick) => spacing.xOf(tick) - left,
    key: songKey,
    barTick: segment.bar.startTick,
    beatTicks: beatTicks(segment.bar.bar.meter),
    numberSize: geometry.numberSize,
    begins,
  });
  const room = begins ? roomBefore(frame) : 0;
  return (
    <>
      <Painter drawing={drawing} left={left} top={0} width={width} height={geometry.height} />
      {isFirst && begins && holder && <Holder holder={holder} end={left - room - 3} geometry={geometry} />}
    </>
  );
}

/** Theirs, as they like: initials and a wave; for another's written notes on one's own part too, as long as they last. */
function AdLib({
  standing,
  part,
  spacing,
  geometry,
  holder,
  isBreak,
  isFirst,
  left,
  width,
}: InsideProps & { readonly holder: Inks | null; readonly isBreak: boolean }) {
  const notes = standing?.notes ?? [];
  const first = notes[0];
  const last = notes[notes.length - 1];
  const from = first ? spacing.xOf(Math.max(part.startTick, first.tick)) : left;
  const to = last ? spacing.xOf(Math.min(part.endTick, last.tick + last.ticks)) : left + width;
  // A whole break needs no wave through all its bars: its first bar says it.
  const isWaved = !isBreak || isFirst;
  const start = isFirst ? from + 4 : from;
  return (
    <>
      {isFirst && holder && <Holder holder={holder} end={from} geometry={geometry} />}
      {isWaved && to - start > 14 && (
        <Wave
          left={start}
          width={Math.min(to - start - 6, 260)}
          base={geometry.wordBase}
          ink={holder?.ink ?? 0}
        />
      )}
    </>
  );
}

const INITIALS = 0.72;

/** Pixels that a holder's initials (and a clef) take before a space's notes. */
export function roomForHolder(
  standing: Standing | undefined,
  look: Pick<LineLook, 'playerOf' | 'instrumentOf' | 'geometry' | 'onlyPlayer'>,
): number {
  const holding = standing?.answer.holding;
  if (!holding || holding.kind === 'left open') return 0;
  const { geometry } = look;
  const initials = look.playerOf(holding.playerId)?.initials ?? '';
  const isDrawn =
    holding.kind === 'fill' && (look.onlyPlayer === null || look.onlyPlayer === holding.playerId);
  const clef = isDrawn
    ? roomBefore({
        instrument: look.instrumentOf(holding.playerId),
        top: geometry.tabTop,
        bottom: geometry.tabBottom,
      })
    : 0;
  return widthInEms(initials) * geometry.wordSize * INITIALS + 8 + clef;
}

function Holder({
  holder,
  end,
  geometry,
}: {
  readonly holder: Inks;
  readonly end: number;
  readonly geometry: LineLook['geometry'];
}) {
  return (
    <span
      className="holder"
      aria-hidden="true"
      style={{
        right: `calc(100% - ${Math.round(end)}px)`,
        top: geometry.wordBase - geometry.wordSize * 0.86,
        fontSize: geometry.wordSize * INITIALS,
        color: `var(--ink-${holder.ink})`,
      }}
    >
      {holder.initials}
    </span>
  );
}

function BreathSign({
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
function Bracket({ left, width, isFirst, geometry, part, segment, pixelsPerTick: scale }: InsideProps) {
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

function Wave({
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
