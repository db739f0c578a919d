import {
  chordInSigns,
  type Drawing,
  type Instruction,
  type LineSyllable,
  type Segment,
  type Spacing,
  widthInEms,
} from '../../lib/parts';
import { beatTicks } from '../../lib/time';
import { BAR_TICK, BEAT_TICK } from './geometry';
import type { LineLook } from './look';
import { Painter } from './Painter';
import { SpaceInLine } from './SpaceInLine';
import { WordsInLine } from './WordsInLine';

export interface SegmentProps extends LineLook {
  readonly segment: Segment;
  readonly spacing: Spacing;
  /** True for the last segment of its line: the closing barline stands there. */
  readonly closes: boolean;
  /** The number of the bar that begins here, where it is to be written. */
  readonly barNumber: number | null;
  /** The chord that goes on from the line before, written again, quietly. */
  readonly chordBefore: string | null;
  /** True where the singer breathes at its end, though no silence is written there. */
  readonly breathes: boolean;
}

/** One bar, or the piece of one that belongs to a line: chords, words on their beats, and what stands in the silence. */
export function SegmentView(props: SegmentProps) {
  const { segment, spacing, geometry, barNumber, chordBefore, words, ...look } = props;
  const { width } = spacing;
  return (
    <div className="segment" style={{ width, height: geometry.height }} data-bar={segment.bar.number}>
      <Painter
        drawing={[...ticks(props), ...holds(props)]}
        left={0}
        top={0}
        width={width}
        height={geometry.height}
      />
      {chordBefore !== null && <Chord symbol={chordBefore} tick={segment.startTick} {...props} again />}
      {!words &&
        segment.chords.map((chord) => (
          <Chord key={chord.tick} symbol={chord.symbol} tick={chord.tick} {...props} />
        ))}
      {!words &&
        segment.syllables.map((syllable) => (
          <Syllable key={`${syllable.noteId} ${syllable.startTick}`} syllable={syllable} {...props} />
        ))}
      {segment.echoes.map((syllable) => (
        <Syllable key={`${syllable.noteId} ${syllable.startTick}`} syllable={syllable} {...props} echo />
      ))}
      {barNumber !== null && (
        <span className="bar-number" aria-hidden="true" style={{ left: 4, top: geometry.tickTop + 1 }}>
          {barNumber}
        </span>
      )}
      {segment.spaces.map((part) => (
        <SpaceInLine
          key={part.space.id}
          part={part}
          segment={segment}
          spacing={spacing}
          geometry={geometry}
          {...look}
        />
      ))}
      {props.breathes && <Breath {...props} />}
      {words && (
        <WordsInLine segment={segment} spacing={spacing} geometry={geometry} words={words} {...look} />
      )}
    </div>
  );
}

/** The notation's own breath sign, where a line ends and the next begins at once. */
function Breath({ spacing, geometry }: SegmentProps) {
  const size = geometry.wordSize * 1.3;
  return (
    <span
      className="breath"
      aria-hidden="true"
      style={{
        left: spacing.width - size * 0.32,
        top: geometry.wordBase - size * 1.6,
        fontSize: size,
        color: 'var(--quiet)',
      }}
    >
      {'\u{E4CE}'}
    </span>
  );
}

function Chord({
  symbol,
  tick,
  spacing,
  geometry,
  chordName,
  isReadable,
  again = false,
}: SegmentProps & { readonly symbol: string; readonly tick: number; readonly again?: boolean }) {
  const isRead = isReadable(symbol);
  return (
    <span
      aria-hidden="true"
      className={`chord ${isRead ? '' : 'chord-unread'} ${again ? 'chord-again' : ''}`}
      style={{
        left: spacing.xOf(tick),
        top: geometry.chordBase - geometry.chordSize,
        fontSize: geometry.chordSize,
      }}
    >
      {isRead ? chordInSigns(chordName(symbol, tick)) : `${symbol}\u{2009}?`}
    </span>
  );
}

function Syllable({
  syllable,
  spacing,
  geometry,
  segment,
  bySpace,
  echo = false,
}: SegmentProps & { readonly syllable: LineSyllable; readonly echo?: boolean }) {
  if (syllable.text === '') return null;
  // Where notes are written over an echo, its words go small beneath them.
  const isUnder =
    echo && segment.spaces.some((part) => bySpace.get(part.space.id)?.answer.holding.kind === 'fill');
  const size = isUnder ? geometry.wordSize * 0.62 : geometry.wordSize;
  const base = isUnder ? geometry.tickTop - 1 : geometry.wordBase;
  return (
    <span
      aria-hidden="true"
      className={echo ? 'syllable echo' : 'syllable'}
      style={{ left: spacing.xOf(syllable.startTick), top: base - size * 1.08, fontSize: size }}
    >
      {syllable.text}
      {syllable.joins && '-'}
    </span>
  );
}

function ticks({ segment, spacing, geometry, closes }: SegmentProps): Drawing {
  const drawing: Instruction[] = [];
  const tick = (at: number, height: number, pen: 'faint' | 'ink') => {
    const x = spacing.xOf(at);
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

/** Syllables held for longer than this many beats have a line. */
const HELD_BEATS = 1.5;

/** A held syllable has a line as long as it is held; a note without words is a line alone. */
function holds({ segment, spacing, geometry, bySpace }: SegmentProps): Drawing {
  const drawing: Instruction[] = [];
  const beat = beatTicks(segment.bar.bar.meter);
  for (const syllable of segment.syllables) {
    const isBare = syllable.text === '';
    if (!isBare && syllable.endTick - syllable.startTick < HELD_BEATS * beat) continue;
    const written = syllable.joins ? `${syllable.text}-` : syllable.text;
    const text = isBare ? 0 : (widthInEms(written) + 0.2) * geometry.wordSize;
    // Under a tail the space's own sign takes over; before notes, their holder's initials.
    const tail = segment.spaces.find(
      (part) => part.startTick > syllable.startTick && part.startTick < syllable.endTick,
    );
    const endTick = tail?.startTick ?? syllable.endTick;
    const isBeforeNotes = segment.spaces.some(
      (part) => bySpace.has(part.space.id) && part.startTick === endTick,
    );
    const x1 = spacing.xOf(syllable.startTick) + text + (isBare ? 1 : 0);
    const x2 = spacing.xOf(endTick) - (isBeforeNotes ? 26 : 5);
    if (x2 - x1 < (isBare ? 2 : 12)) continue;
    const y = geometry.wordBase + 0.5;
    drawing.push({ kind: 'line', x1, y1: y, x2, y2: y, pen: isBare ? 'ink' : 'faint' });
  }
  return drawing;
}
