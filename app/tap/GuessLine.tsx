import type { CSSProperties } from 'react';
import { chordInSigns, type Line, spacingOf, WORD_SIZE } from '../../lib/parts';
import type { Ticks } from '../../lib/time';

/** Of a line of the guess, in CSS pixels. */
const GUESS_HEIGHT = 78;

/** A syllable of the guess: its line and its place in it. */
export interface Spot {
  readonly line: number;
  readonly index: number;
}

interface GuessProps {
  readonly line: Line;
  readonly pixelsPerTick: number;
  readonly hang: number;
  readonly spotAt: (tick: Ticks) => Spot | null;
  readonly selected: Spot | null;
  /** Null while it is sung: nothing can be mended yet. */
  readonly select: ((spot: Spot) => void) | null;
  readonly isUnsure: (spot: Spot) => boolean;
  readonly isTapped: (spot: Spot) => boolean;
  readonly labelOf: (spot: Spot) => string;
}

/** A line of the guess along its beats, as on the board; its syllables can be taken up one by one. */
export function GuessLine(props: GuessProps) {
  const { line, pixelsPerTick, hang } = props;
  const spacings = line.segments.map((segment) => spacingOf(segment, pixelsPerTick, WORD_SIZE));
  const indent = Math.max(0, hang - (line.pickupTicks > 0 ? (spacings[0]?.width ?? 0) : 0));
  const style: CSSProperties & Record<'--indent', string> = { '--indent': `${Math.round(indent)}px` };
  return (
    <div className="guess-line" style={style}>
      {line.segments.map((segment, i) => {
        const spacing = spacings[i];
        if (!spacing) return null;
        const { width, xOf } = spacing;
        return (
          <div key={segment.startTick} className="segment" style={{ width, height: GUESS_HEIGHT }}>
            {segment.beats.map((beat) => (
              <span
                key={beat}
                aria-hidden="true"
                className="guess-beat"
                data-bar={segment.startsBar && beat === segment.startTick}
                style={{ left: xOf(beat) }}
              />
            ))}
            {segment.chords.map((chord) => (
              <span
                key={chord.tick}
                aria-hidden="true"
                className="guess-chord"
                data-tick={chord.tick}
                style={{ left: xOf(chord.tick) }}
              >
                {chordInSigns(chord.symbol)}
              </span>
            ))}
            {segment.syllables.map((syllable) => (
              <GuessSyllable
                key={syllable.startTick}
                text={syllable.joins ? `${syllable.text}-` : syllable.text}
                tick={syllable.startTick}
                left={xOf(syllable.startTick)}
                held={xOf(Math.min(syllable.endTick, segment.endTick)) - xOf(syllable.startTick)}
                {...props}
              />
            ))}
          </div>
        );
      })}
    </div>
  );
}

function GuessSyllable({
  text,
  tick,
  left,
  held,
  spotAt,
  selected,
  select,
  isUnsure,
  isTapped,
  labelOf,
}: GuessProps & {
  readonly text: string;
  readonly tick: Ticks;
  readonly left: number;
  readonly held: number;
}) {
  const spot = spotAt(tick);
  const isSelected = spot !== null && selected?.line === spot.line && selected.index === spot.index;
  const look = {
    className: 'guess-syllable',
    style: { left },
    'data-unsure': spot !== null && isUnsure(spot),
    'data-tapped': spot !== null && isTapped(spot),
    'data-tick': tick,
  };
  const mark = <span aria-hidden="true" className="guess-held" style={{ width: Math.max(2, held - 3) }} />;
  if (!spot || !select)
    return (
      <span {...look}>
        {text}
        {mark}
      </span>
    );
  return (
    <button
      type="button"
      {...look}
      tabIndex={isSelected ? 0 : -1}
      aria-pressed={isSelected}
      aria-label={labelOf(spot)}
      data-spot={`${spot.line}.${spot.index}`}
      onClick={() => select(spot)}
    >
      {text}
      {mark}
    </button>
  );
}
