import type { KeyboardEvent } from 'react';
import { chordInSigns, type Segment, type Spacing } from '../../lib/parts';
import { standsAt } from './geometry';
import type { LineLook, WordsInUse } from './look';
import { type At, atKey, atOf, type LinePlace } from './places';

interface InLineProps extends LineLook {
  readonly segment: Segment;
  readonly spacing: Spacing;
  readonly words: WordsInUse;
}

/** The words and chords of a segment as they are while somebody changes them: each can be chosen, by key and by touch. */
export function WordsInLine({ words, segment, ...look }: InLineProps) {
  const inside = ({ tick }: LinePlace) => tick >= segment.startTick && tick < segment.endTick;
  const chords = words.chords.filter(inside);
  return (
    <>
      {words.words.filter(inside).map((place) => (
        <WordButton key={place.noteId} place={place} words={words} {...look} />
      ))}
      {chords.map((place, i) => (
        <ChordButton
          key={place.offset}
          place={place}
          words={words}
          endTick={chords[i + 1]?.tick ?? segment.endTick}
          {...look}
        />
      ))}
    </>
  );
}

type ButtonProps<P extends LinePlace> = Omit<InLineProps, 'segment'> & { readonly place: P };

function WordButton({ place, words, spacing, geometry }: ButtonProps<LinePlace & { kind: 'word' }>) {
  const size = geometry.wordSize;
  return (
    <button
      type="button"
      className="syllable word-button"
      {...chosen(words, atOf(place))}
      onKeyDown={writeOn(words, null)}
      aria-label={words.labelOf(place)}
      style={{
        ...standsAt(spacing.xOf(place.tick) + 1, geometry.wordBase - size * 1.08 - 8),
        fontSize: size,
      }}
    >
      {place.text === '' ? '–' : place.text}
      {place.joins && '-'}
    </button>
  );
}

function ChordButton({
  place,
  words,
  endTick,
  spacing,
  geometry,
  chordName,
  isReadable,
}: ButtonProps<LinePlace & { kind: 'chord' }> & { readonly endTick: number }) {
  const left = spacing.xOf(place.tick);
  const symbol = place.chord?.symbol ?? null;
  const isRead = symbol !== null && isReadable(symbol);
  return (
    <button
      type="button"
      className={`chord chord-button ${symbol !== null && !isRead ? 'chord-unread' : ''}`}
      {...chosen(words, atOf(place))}
      onKeyDown={writeOn(words, /^[a-gn]$/i)}
      aria-label={words.labelOf(place)}
      style={{
        ...standsAt(left + 1, geometry.chordBase - geometry.chordSize - 14),
        minWidth: Math.max(20, spacing.xOf(endTick) - left - 2),
        fontSize: geometry.chordSize,
      }}
    >
      {symbol === null ? (
        <span className="no-chord">·</span>
      ) : isRead ? (
        chordInSigns(chordName(symbol, place.tick))
      ) : (
        `${symbol}\u{2009}?`
      )}
    </button>
  );
}

/** Enter goes to the field; on a beat a chord's letter begins to write it. */
const writeOn = (words: WordsInUse, letters: RegExp | null) => (event: KeyboardEvent) => {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === 'Enter') words.write();
  else if (letters?.test(event.key)) words.write(event.key.toUpperCase());
  else return;
  event.preventDefault();
};

/** One of all is reached by Tab; the arrows go on from it. */
function chosen(words: WordsInUse, at: At) {
  const key = atKey(at);
  const isChosen = words.chosen !== null && atKey(words.chosen) === key;
  return {
    'data-at': key,
    'data-chosen': isChosen,
    tabIndex: isChosen ? 0 : -1,
    'aria-current': isChosen,
    onClick: () => words.choose(at),
  } as const;
}
