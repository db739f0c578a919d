import type { CSSProperties } from 'react';
import type { InstrumentName } from '../../lib/instruments';
import {
  type Drawing,
  fillDrawing,
  type Instruction,
  NUMBER_INSET,
  roomBefore,
  type Segment,
  type SpacePart,
  type Standing,
  syllablePlaces,
  widthInEms,
} from '../../lib/parts';
import type { Key } from '../../lib/theory';
import { beatTicks } from '../../lib/time';
import { BAR_TICK, BEAT_TICK, type LineGeometry } from './geometry';
import type { Inks } from './inks';
import { Painter } from './Painter';
import { SpaceMark } from './SpaceMark';

export interface SegmentProps {
  readonly segment: Segment;
  readonly pixelsPerTick: number;
  readonly geometry: LineGeometry;
  readonly bySpace: ReadonlyMap<string, Standing>;
  readonly playerOf: (id: string) => Inks | null;
  readonly instrumentOf: (playerId: string) => InstrumentName;
  readonly songKey: Key;
  readonly chordName: (symbol: string) => string;
  readonly isReadable: (symbol: string) => boolean;
  /** Who has the break of an instrumental pass, by pass id. */
  readonly breakOf: (passId: string) => Inks | null;
  /** Null on paper: nothing can be pressed there. */
  readonly spaces: SpaceActions | null;
  /** Where the words of the segment before end, in pixels from this one's start (below 0: before it). */
  readonly wordsFrom: number;
  /** Whose tablature is shown; null: everybody's. */
  readonly onlyPlayer: string | null;
  /** True for the last segment of its line: the closing barline stands there. */
  readonly closes: boolean;
}

export interface SpaceActions {
  readonly openId: string | null;
  readonly peersAt: (spaceId: string) => readonly Inks[];
  readonly press: (spaceId: string) => void;
  readonly labelOf: (spaceId: string) => string;
}

/** One bar, or the piece of one that belongs to a line: chords, words on their beats, and what stands in the silence. */
export function SegmentView(props: SegmentProps) {
  const { segment, pixelsPerTick: scale, geometry } = props;
  const width = (segment.endTick - segment.startTick) * scale;
  const places = syllablePlaces(
    segment.syllables,
    segment.startTick,
    scale,
    geometry.wordSize,
    props.wordsFrom,
  );
  const startsFill = (tick: number) =>
    segment.spaces.some((part) => props.bySpace.has(part.space.id) && part.startTick === tick);
  return (
    <div className="segment" style={{ width, height: geometry.height }} data-bar={segment.bar.number}>
      <Painter
        drawing={[...ticks(segment, scale, geometry, props.closes), ...holds(props, places.left, startsFill)]}
        left={0}
        top={0}
        width={width}
        height={geometry.height}
      />
      {segment.chords.map((chord) => (
        <span
          key={chord.tick}
          aria-hidden="true"
          className={`chord ${props.isReadable(chord.symbol) ? '' : 'chord-unread'}`}
          style={{
            left: (chord.tick - segment.startTick) * scale,
            top: geometry.chordBase - geometry.chordSize,
            fontSize: geometry.chordSize,
          }}
        >
          {props.chordName(chord.symbol)}
          {!props.isReadable(chord.symbol) && '\u{2009}?'}
        </span>
      ))}
      {segment.syllables.map((syllable, i) =>
        syllable.text === '' ? null : (
          <span
            key={`${syllable.noteId}.${syllable.startTick}`}
            aria-hidden="true"
            className="syllable"
            style={{
              left: places.left[i] ?? 0,
              top: geometry.wordBase - geometry.wordSize * 1.08,
              fontSize: geometry.wordSize,
            }}
          >
            {syllable.text}
            {syllable.joins && '-'}
          </span>
        ),
      )}
      {segment.spaces.map((part) => (
        <SpaceInLine key={part.space.id} part={part} wordsEnd={places.end} {...props} />
      ))}
    </div>
  );
}

function ticks(segment: Segment, scale: number, geometry: LineGeometry, closes: boolean): Drawing {
  const drawing: Instruction[] = [];
  const tick = (at: number, height: number, pen: 'faint' | 'ink') => {
    const x = (at - segment.startTick) * scale;
    drawing.push({ kind: 'line', x1: x, y1: geometry.tickTop, x2: x, y2: geometry.tickTop + height, pen });
  };
  for (const beat of segment.beats) {
    const isBar = segment.startsBar && beat === segment.startTick;
    tick(beat, isBar ? BAR_TICK : BEAT_TICK, isBar ? 'ink' : 'faint');
  }
  if (segment.startsBar && segment.beats[0] !== segment.startTick) tick(segment.startTick, BAR_TICK, 'ink');
  if (closes && segment.endsBar) tick(segment.endTick, BAR_TICK, 'ink');
  return drawing;
}

/** A held syllable has a line as long as it is held; a note without words is a line alone. */
function holds(
  { segment, pixelsPerTick: scale, geometry }: SegmentProps,
  lefts: readonly number[],
  startsFill: (tick: number) => boolean,
): Drawing {
  const drawing: Instruction[] = [];
  segment.syllables.forEach((syllable, i) => {
    const left = lefts[i] ?? 0;
    const text = syllable.text === '' ? 0 : (widthInEms(syllable.text) + 0.12) * geometry.wordSize;
    const x1 = left + text + (syllable.text === '' ? 1 : 3);
    const x2 = (syllable.endTick - segment.startTick) * scale - (startsFill(syllable.endTick) ? 24 : 5);
    const least = syllable.text === '' ? 2 : 14;
    if (syllable.joins || x2 - x1 < least) return;
    const y = geometry.wordBase + 0.5;
    drawing.push({ kind: 'line', x1, y1: y, x2, y2: y, pen: syllable.text === '' ? 'ink' : 'faint' });
  });
  return drawing;
}

function SpaceInLine({
  part,
  wordsEnd,
  ...props
}: SegmentProps & { readonly part: SpacePart; readonly wordsEnd: number }) {
  const { segment, pixelsPerTick: scale, geometry, spaces } = props;
  const standing = props.bySpace.get(part.space.id) ?? null;
  const left = (part.startTick - segment.startTick) * scale;
  const width = (part.endTick - part.startTick) * scale;
  const isFirst = part.startTick === part.space.startTick;
  const isLast = part.endTick === part.space.endTick;
  const holding = standing?.answer.holding ?? null;
  const playerId = holding && holding.kind !== 'left open' ? holding.playerId : null;
  const isShown = props.onlyPlayer === null || playerId === null || playerId === props.onlyPlayer;
  const holder = playerId === null ? null : props.playerOf(playerId);
  const tab =
    holding?.kind === 'fill' && standing && isShown && playerId
      ? tabOf(props, part, standing, playerId)
      : null;
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
          peers={isFirst ? spaces.peersAt(part.space.id) : []}
          spaceId={part.space.id}
          press={() => spaces.press(part.space.id)}
        />
      )}
      {tab && (
        <Painter drawing={tab.drawing} left={tab.left} top={0} width={tab.width} height={geometry.height} />
      )}
      <SpaceSign
        {...props}
        isFirst={isFirst}
        isLast={isLast}
        left={left}
        width={width}
        part={part}
        wordsEnd={wordsEnd}
        standing={standing}
        holder={holder}
        initialsLeft={tab ? tab.left - tab.before : left}
        drawn={tab !== null}
      />
    </>
  );
}

/** The tablature that falls in one piece of a space: from its first note on, so that the words before keep their room. */
function tabOf(
  { segment, pixelsPerTick: scale, geometry, instrumentOf, songKey }: SegmentProps,
  part: SpacePart,
  standing: Standing,
  playerId: string,
): {
  readonly drawing: Drawing;
  readonly left: number;
  readonly before: number;
  readonly width: number;
} | null {
  const first = standing.notes[0];
  const last = standing.notes[standing.notes.length - 1];
  if (!first || !last) return null;
  const startTick = Math.max(part.startTick, first.tick);
  // The frame closes a little after the last number.
  const endTick = Math.min(
    part.endTick,
    Math.max(last.tick + last.ticks, last.tick + (NUMBER_INSET + 12) / scale),
  );
  if (endTick <= startTick) return null;
  const instrument = instrumentOf(playerId);
  const begins = startTick === first.tick;
  const frame = { instrument, top: geometry.tabTop, bottom: geometry.tabBottom };
  const left = (startTick - segment.startTick) * scale;
  return {
    left,
    before: begins ? roomBefore(frame) : 0,
    width: (endTick - startTick) * scale,
    drawing: fillDrawing(standing.notes, {
      ...frame,
      startTick,
      endTick,
      pixelsPerTick: scale,
      key: songKey,
      barTick: segment.bar.startTick,
      beatTicks: beatTicks(segment.bar.bar.meter),
      numberSize: geometry.numberSize,
      begins,
    }),
  };
}

interface SignProps extends SegmentProps {
  readonly isFirst: boolean;
  readonly isLast: boolean;
  readonly left: number;
  readonly width: number;
  readonly part: SpacePart;
  readonly standing: Standing | null;
  readonly holder: Inks | null;
  /** Where the words of this segment end, which may run over the space. */
  readonly wordsEnd: number;
  readonly initialsLeft: number;
  readonly drawn: boolean;
}

/** What stands in a space beside tablature: breath sign and bracket, initials, a wave for 'ad lib'. */
function SpaceSign(props: SignProps) {
  const { geometry, isFirst, left, width, standing, part, spaces } = props;
  const base = geometry.wordBase;
  const signLeft = Math.max(left, props.wordsEnd - 4);
  const holder = props.holder ?? (standing ? null : breakHolder(props));
  const kind = standing?.answer.holding.kind ?? (holder ? 'ad lib' : null);
  if (kind === null) {
    if (!spaces) return isFirst ? <BreathSign left={signLeft} base={base} tone="var(--quiet)" /> : null;
    return (
      <>
        {isFirst && <BreathSign left={signLeft} base={base} tone="var(--accent)" />}
        <Bracket {...props} />
      </>
    );
  }
  if (kind === 'left open')
    return isFirst ? <BreathSign left={signLeft} base={base} tone="var(--quiet)" /> : null;
  const from = isFirst ? left + 8 : left;
  return (
    <>
      {isFirst && holder && (
        <span
          className="holder"
          aria-hidden="true"
          style={{
            ...initialsPlace(props, holder.initials),
            fontSize: geometry.wordSize * 0.72,
            color: `var(--ink-${holder.ink})`,
          }}
        >
          {holder.initials}
        </span>
      )}
      {!props.drawn && (!isFirst || width > 44) && (
        <Wave
          left={isFirst ? from + 24 : from}
          width={Math.max(12, Math.min(width - (isFirst ? 40 : 8), 260))}
          base={base}
          ink={holder?.ink ?? 0}
        />
      )}
      {standing && !standing.fits && isFirst && part.space && (
        <span className="misfit" style={{ left, top: geometry.tickTop - 4 }}>
          no longer fits
        </span>
      )}
    </>
  );
}

/** Before the notes, as a pencil mark; below them where a word runs over that place. */
function initialsPlace(props: SignProps, initials: string): CSSProperties {
  const { geometry, left, drawn, initialsLeft, wordsEnd } = props;
  const width = widthInEms(initials) * geometry.wordSize * 0.72;
  const end = drawn ? initialsLeft - 3 : left + 26;
  return end - width > wordsEnd - 5
    ? { right: `calc(100% - ${Math.round(end)}px)`, top: geometry.wordBase - geometry.wordSize * 0.86 }
    : { left: Math.round(Math.max(left, initialsLeft)), top: geometry.tickTop - 1 };
}

/** Who takes the break holds its space without a word being said. */
function breakHolder({ part, breakOf }: SignProps): Inks | null {
  return part.space.kind === 'instrumental' ? breakOf(part.space.place.passId) : null;
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

/** Width of 'n beats' in pixels. */
const LABEL = 50;

/** A pencil bracket under an unclaimed space, open where it goes on in the next bar. */
function Bracket({ left, width, isFirst, isLast, geometry, part, pixelsPerTick: scale }: SignProps) {
  const inset = 14;
  const x1 = left + (isFirst ? inset : 0);
  const x2 = left + width - (isLast ? 6 : 0);
  const y = geometry.wordBase + 5;
  const { space } = part;
  // The length stands in the first piece that has room for it.
  const roomy = x2 - x1 > LABEL;
  const isHere = isFirst || (part.startTick - space.startTick) * scale - inset <= LABEL;
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
      {isHere && roomy && (
        <span className="length" aria-hidden="true" style={{ left: x1, width: x2 - x1, top: y - 22 }}>
          {lengthOf(space.beats)}
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
  let path = `M0 0`;
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

const PARTS: Readonly<Record<number, string>> = { 0: '', 0.25: '¼', 0.5: '½', 0.75: '¾' };
function lengthOf(beats: number): string {
  const rounded = Math.round(beats * 4) / 4;
  const whole = Math.floor(rounded);
  return `${whole === 0 ? '' : whole}${PARTS[rounded - whole] ?? ''} ${rounded <= 1 ? 'beat' : 'beats'}`;
}
