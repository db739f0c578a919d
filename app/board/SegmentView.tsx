import type { CSSProperties } from 'react';
import { chordInSigns, type LineSyllable } from '../../lib/parts';
import { standsAt } from './geometry';
import { SpaceInLine } from './SpaceInLine';
import type { Placed } from './strokes';
import { WordsInLine } from './WordsInLine';

export interface SegmentProps extends Placed {
  /** The strokes behind its words. */
  readonly behind: CSSProperties | undefined;
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
    <div
      className="segment"
      style={{ width, height: geometry.height, ...props.behind }}
      data-bar={segment.bar.number}
    >
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
        <span className="bar-number" aria-hidden="true" style={standsAt(4, geometry.tickTop + 1)}>
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
        ...standsAt(spacing.width - size * 0.32, geometry.wordBase - size * 1.6),
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
        ...standsAt(spacing.xOf(tick) + 1, geometry.chordBase - geometry.chordSize),
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
      style={{ ...standsAt(spacing.xOf(syllable.startTick) + 1, base - size * 1.08), fontSize: size }}
    >
      {syllable.text}
      {syllable.joins && '-'}
    </span>
  );
}
