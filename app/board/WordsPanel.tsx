'use client';

import { type Ref, useEffect, useId, useRef } from 'react';
import { useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import { Key } from '../ui/Key';
import type { WordPlace } from './places';
import type { PhraseEndHere, WordsWay } from './useWords';

/** What can be done with the word or chord that is chosen in the line above. */
export function WordsPanel({
  way,
  stanzas,
  talk,
}: {
  readonly way: WordsWay;
  readonly stanzas: number;
  /** Opens what is said of the line in its place; null: nothing can be said of it. */
  readonly talk: (() => void) | null;
}) {
  const headingId = useId();
  const root = useRef<HTMLElement>(null);
  const { place, problem, field } = way;
  const close = () => (document.activeElement === field.current ? way.focusPlace() : way.close());
  useKeys(
    Object.fromEntries([
      ['ArrowLeft', () => way.step(-1)],
      ['ArrowRight', () => way.step(1)],
      ['ArrowUp', () => way.stepLine(-1)],
      ['ArrowDown', () => way.stepLine(1)],
      ['i', () => way.setOnlyStanza(!way.isOnlyStanza)],
      ['Backspace', () => place?.kind === 'chord' && way.keep('')],
    ]),
  );
  const arrive = useRef(way.arrive);
  // What can be done stands in sight, without covering the words; its keys are there from now on.
  useEffect(() => {
    arrive.current();
    const panel = root.current;
    if (!panel || panel.getBoundingClientRect().bottom <= window.innerHeight) return;
    const line = panel.previousElementSibling ?? panel;
    const top = line.getBoundingClientRect().top - 24;
    const over = panel.getBoundingClientRect().bottom - window.innerHeight + 12;
    window.scrollBy({ top: Math.min(over, Math.max(0, top)) });
  }, []);
  if (!place) return null;
  const isWord = place.kind === 'word';
  const key = isWord ? place.noteId : `${place.barId} ${place.offset}`;
  return (
    <section ref={root} className="detail words-panel no-print" aria-labelledby={headingId}>
      <h3 id={headingId}>
        {isWord ? <>“{place.text === '' ? 'no word' : place.text}”, </> : <>Chord, </>}
        {isWord && way.voice && <>{way.voice.name}, </>}
        {way.where}
      </h3>
      <div className="words-ways">
        <TypeField
          key={key}
          ref={field}
          label={isWord ? 'Word' : 'Chord'}
          hint={isWord ? 'a hyphen at its end joins it to the next' : 'empty: no chord changes here'}
          value={isWord ? `${place.text}${place.joins ? '-' : ''}` : (place.chord?.symbol ?? '')}
          typed={way.typed}
          setTyped={way.setTyped}
          keep={way.keep}
        />
        <div className="words-row">
          <Button shortcut="Enter" onPress={() => way.write()}>
            {isWord ? 'Write the word' : 'Write the chord'}
          </Button>
          <Button shortcut="shift+ArrowLeft" onPress={() => way.move(-1)}>
            {isWord ? 'Half a beat earlier' : 'A beat earlier'}
          </Button>
          <Button shortcut="shift+ArrowRight" onPress={() => way.move(1)}>
            {isWord ? 'Half a beat later' : 'A beat later'}
          </Button>
          {!isWord && (
            <Button shortcut="Delete" disabled={place.chord === null} onPress={() => way.keep('')}>
              Take the chord out
            </Button>
          )}
          {isWord && (
            <>
              <Button shortcut="n" onPress={way.addWord}>
                A new word after it
              </Button>
              <Button shortcut="x" onPress={way.dropWord}>
                Take the word out
              </Button>
              {way.nextVoice && (
                <Button shortcut="v" onPress={way.toNextVoice}>
                  {`What ${way.nextVoice.name} sings`}
                </Button>
              )}
            </>
          )}
          {isWord ? (
            <Button shortcut="c" onPress={() => way.stepLine(-1)}>
              Chord over it
            </Button>
          ) : (
            <Button shortcut="w" onPress={() => way.stepLine(1)}>
              Words under it
            </Button>
          )}
        </div>
        {isWord && way.phraseEnd && <Breath way={way} word={place} end={way.phraseEnd} />}
        {isWord && stanzas > 1 && way.stanza !== null && (
          <label className="plain flex min-h-(--touch) items-center gap-2">
            <input
              type="checkbox"
              checked={way.isOnlyStanza}
              aria-keyshortcuts="i"
              onChange={(event) => way.setOnlyStanza(event.target.checked)}
            />
            <span>
              moved, and breathed after, in stanza {way.stanza} only
              <Key name="i" />
            </span>
          </label>
        )}
        {problem !== null && (
          <p role="alert" className="plain max-w-prose text-accent">
            {problem}
          </p>
        )}
        <div className="words-row">
          {talk && (
            <Button shortcut="." onPress={talk}>
              What is said about the line
            </Button>
          )}
          <Button shortcut="Escape" onPress={close}>
            Close
          </Button>
        </div>
      </div>
      <p className="sr-only" role="status">
        {way.said}
      </p>
    </section>
  );
}

function Breath({
  way,
  word,
  end,
}: {
  readonly way: WordsWay;
  readonly word: WordPlace;
  readonly end: PhraseEndHere;
}) {
  return (
    <div>
      <p className="aside">{endInWords(word, end)}</p>
      <div className="words-row">
        <Button shortcut="b" onPress={way.breathe} disabled={end.isHere && end.last === null}>
          {end.isHere ? 'No breath after it: the line goes on' : 'A breath after it: the line ends here'}
        </Button>
        <Button shortcut="<" disabled={end.last === null} onPress={() => way.moveEnd(-1)}>
          The line ends a syllable earlier
        </Button>
        <Button shortcut=">" disabled={end.last === null} onPress={() => way.moveEnd(1)}>
          A syllable later
        </Button>
        {end.decided !== null && (
          <Button shortcut="l" onPress={way.letProgram}>
            As it was found
          </Button>
        )}
      </div>
    </div>
  );
}

function endInWords(word: WordPlace, end: PhraseEndHere): string {
  if (!end.isHere) {
    return end.decided === false
      ? 'The line goes on after it: the band said so.'
      : 'The line goes on after it.';
  }
  if (end.last === null) return 'The line ends after it, with the pass.';
  if (end.decided === true) return 'The line ends after it: the band said so.';
  const why = end.why.slice(0, 3).join('; ');
  return `The line ends after “${word.text}”${why === '' ? '.' : `: ${why}.`}`;
}

/** A field for one word or chord. Enter keeps it; what somebody else wrote meanwhile shows as long as nothing is typed here. */
function TypeField({
  label,
  hint,
  value,
  typed,
  setTyped,
  keep,
  ref,
}: {
  readonly label: string;
  readonly hint: string;
  readonly value: string;
  readonly typed: string | null;
  readonly setTyped: (text: string | null) => void;
  readonly keep: (text: string) => void;
  readonly ref: Ref<HTMLInputElement>;
}) {
  const id = useId();
  return (
    <form
      className="words-row"
      onSubmit={(event) => {
        event.preventDefault();
        keep(typed ?? value);
      }}
    >
      <label htmlFor={id} className="plain font-semibold">
        {label}
      </label>
      <input
        ref={ref}
        id={id}
        type="text"
        className="min-h-(--touch) w-40 border-0 border-b border-edge bg-transparent px-1 font-plain hover:border-ink"
        value={typed ?? value}
        maxLength={60}
        autoComplete="off"
        autoCapitalize="off"
        spellCheck={false}
        aria-describedby={`${id}-hint`}
        onChange={(event) => setTyped(event.target.value)}
        onBlur={() => typed === value && setTyped(null)}
      />
      <Button submit disabled={typed === null || typed === value}>
        Keep
      </Button>
      <span id={`${id}-hint`} className="aside">
        {hint}
      </span>
    </form>
  );
}
