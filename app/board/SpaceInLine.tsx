import {
  type Drawing,
  fillDrawing,
  NUMBER_INSET,
  roomBefore,
  type Segment,
  type SpacePart,
  type Spacing,
  type Standing,
} from '../../lib/parts';
import type { FillNote } from '../../lib/song';
import { beatTicks } from '../../lib/time';
import { standsAt } from './geometry';
import type { Inks } from './inks';
import type { LineLook } from './look';
import { Painter } from './Painter';
import { INITIALS } from './room-for-holder';
import { SpaceMark } from './SpaceMark';
import { BreathSign, Length, Wave } from './SpaceSigns';
import { isOpen } from './strokes';

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
          goesOn={part.space.kind !== 'instrumental' && part.endTick < part.space.endTick}
          left={left}
          width={width}
          height={geometry.height}
          label={spaces.labelOf(part.space.id)}
          isOpen={spaces.openId === part.space.id}
          peers={peers}
          isPut={isFirst && spaces.isPut(part.space.id)}
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
  const { part, standing, isFirst, left, geometry, onlyPlayer } = props;
  const base = geometry.wordBase;
  const isBreak = part.space.kind === 'instrumental';
  const holding = standing?.answer.holding ?? null;
  const breaker = isBreak && standing === null ? props.breakOf(part.space.place.passId) : null;
  if (isOpen(part, props)) {
    return (
      <>
        {isFirst && <BreathSign left={left} base={base} tone="var(--accent)" />}
        <Length {...props} />
      </>
    );
  }
  if ((holding === null && breaker === null) || holding?.kind === 'left open') {
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
        <span className="misfit" style={standsAt(left, geometry.tickTop + 10)}>
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
}: InsideProps & { readonly holderId: string; readonly holder: Inks | null }) {
  const first = standing?.notes[0];
  const last = standing?.notes[standing.notes.length - 1];
  if (!standing || !first || !last) return null;
  const startTick = Math.max(part.startTick, first.tick);
  // The frame closes a little after the last number, within its bar.
  const endTick = Math.min(part.endTick, Math.max(last.tick + last.ticks, last.tick + 480));
  if (endTick <= startTick) return null;
  const begins = startTick === first.tick;
  // A break's pickup stands before its space.
  const opens = part.startTick <= part.space.startTick;
  const frame = {
    instrument: instrumentOf(holderId),
    key: songKey,
    top: geometry.tabTop,
    bottom: geometry.tabBottom,
  };
  const left = spacing.xOf(startTick);
  const width = Math.max(spacing.xOf(endTick) - left, NUMBER_INSET + 10);
  const drawing: Drawing = fillDrawing(standing.notes, {
    ...frame,
    startTick,
    endTick,
    xOf: (tick) => spacing.xOf(tick) - left,
    barTick: segment.bar.startTick,
    beatTicks: beatTicks(segment.bar.bar.meter),
    numberSize: geometry.numberSize,
    begins,
  });
  const room = begins ? roomBefore(frame) : 0;
  return (
    <>
      <Painter drawing={drawing} left={left} top={0} width={width} height={geometry.height} />
      {opens && begins && holder && <Holder holder={holder} end={left - room - 3} geometry={geometry} />}
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

/** The fills whose notes are written in a segment: all, or one player's alone. */
export function writtenIn(
  { spaces }: Pick<Segment, 'spaces'>,
  { bySpace, onlyPlayer }: Pick<LineLook, 'bySpace' | 'onlyPlayer'>,
): readonly (readonly FillNote[])[] {
  return spaces.flatMap(({ space }) => {
    const standing = bySpace.get(space.id);
    const holding = standing?.answer.holding;
    if (!standing || holding?.kind !== 'fill') return [];
    return onlyPlayer === null || onlyPlayer === holding.playerId ? [standing.notes] : [];
  });
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
        marginRight: `calc(100% - ${Math.round(end)}px)`,
        marginTop: geometry.wordBase - geometry.wordSize * 0.86,
        fontSize: geometry.wordSize * INITIALS,
        color: `var(--ink-${holder.ink})`,
      }}
    >
      {holder.initials}
    </span>
  );
}
