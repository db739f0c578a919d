'use client';

import { type RefObject, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { Arrangement } from '../../lib/parts';
import { lastNoteOfWord, moveNote } from '../../lib/song';
import {
  type At,
  acrossFrom,
  atKey,
  atOf,
  beatInWords,
  type ChordPlace,
  gridStep,
  type LinePlace,
  nearest,
  nextPlace,
  type Places,
  placeAt,
  placesOf,
  type WordPlace,
} from './places';

/** The end of the phrase in which a word stands. */
export interface PhraseEndHere {
  /** The last word of the phrase; null: it cannot be moved. */
  readonly last: WordPlace | null;
  /** Whether it ends with this very word. */
  readonly isHere: boolean;
  /** What people said about an end after this word; null: nothing. */
  readonly decided: boolean | null;
  /** Why it ends there, as clauses. */
  readonly why: readonly string[];
}

/** Changing words, chords and phrases where they stand: one place of the song is chosen, and what can be done with it. */
export interface WordsWay {
  /** Null: nobody changes anything. */
  readonly place: LinePlace | null;
  readonly places: Places;
  /** What was done last, or why it was not: for who cannot see the line. */
  readonly said: string;
  readonly problem: string | null;
  readonly phraseEnd: PhraseEndHere | null;
  /** How many stanzas share the words' notes, and which one this pass sings; null: nobody sings. */
  readonly stanza: number | null;
  readonly isOnlyStanza: boolean;
  readonly setOnlyStanza: (only: boolean) => void;
  readonly choose: (at: At | null) => void;
  readonly openLine: (lineKey: string) => void;
  readonly close: () => void;
  readonly step: (by: 1 | -1) => void;
  readonly stepLine: (by: 1 | -1) => void;
  readonly move: (by: 1 | -1) => void;
  readonly breathe: () => void;
  readonly moveEnd: (by: 1 | -1) => void;
  readonly letProgram: () => void;
  readonly keepWord: (text: string) => void;
  readonly keepChord: (symbol: string) => void;
  readonly focusPlace: () => void;
  /** The field of the panel in which the chosen word or chord is written. */
  readonly field: RefObject<HTMLInputElement | null>;
  readonly typed: string | null;
  readonly setTyped: (text: string | null) => void;
  readonly write: (first?: string) => void;
  readonly labelOf: (place: LinePlace) => string;
  readonly where: string;
}

const said = (what: string, mend: string) => `${what}: ${mend.charAt(0).toLowerCase()}${mend.slice(1)}.`;

export function useWords(
  root: RefObject<HTMLElement | null>,
  arrangement: Arrangement,
  edits: SongEdits | null,
  isReadable: (symbol: string) => boolean,
): WordsWay {
  const { song, timeline } = arrangement;
  const [at, setAt] = useState<At | null>(null);
  const [message, setMessage] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [isOnlyStanza, setOnlyStanza] = useState(false);
  const [typed, setTyped] = useState<string | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const wantsFocus = useRef(false);
  const lastTick = useRef(0);
  const places = useMemo(() => placesOf(arrangement), [arrangement]);

  // What somebody else took out leaves its neighbour chosen.
  const place =
    at === null || edits === null
      ? null
      : (placeAt(places, at) ?? nearest(at.kind === 'word' ? places.words : places.chords, lastTick.current));
  const key = place && atKey(atOf(place));

  useEffect(() => {
    if (place) lastTick.current = place.tick;
  }, [place]);
  useEffect(() => {
    if (!wantsFocus.current || key === null) return;
    const element = root.current?.querySelector<HTMLElement>(`[data-at="${CSS.escape(key)}"]`);
    if (!element) return;
    wantsFocus.current = false;
    element.focus();
  });

  const choose = useCallback((next: At | null) => {
    wantsFocus.current = next !== null;
    setProblem(null);
    setMessage('');
    setTyped(null);
    setAt(next);
  }, []);
  const go = (next: LinePlace | null) => {
    if (next) choose(atOf(next));
  };
  const tell = (text: string) => {
    setProblem(null);
    setTyped(null);
    setMessage(text);
    wantsFocus.current = true;
  };
  const refuse = (error: { readonly what: string; readonly mend: string }) => {
    setProblem(said(error.what, error.mend));
    setMessage('');
    wantsFocus.current = true;
  };

  const pass = place && song.passes.find(({ id }) => id === place.passId);
  const stanza = pass?.stanza ?? null;
  const scope = isOnlyStanza ? stanza : null;
  const inScope = isOnlyStanza && stanza !== null ? ` in stanza ${stanza}` : '';
  const word = place?.kind === 'word' ? place : null;
  const endNoteOf = (one: WordPlace) => lastNoteOfWord(timeline, one.passId, one.noteId);
  const phraseEnd = word === null ? null : endOf(word);

  function endOf(one: WordPlace): PhraseEndHere {
    const row = places.words.filter(({ passId }) => passId === one.passId);
    const phrase = arrangement.phrases.find(
      (each) => each.passId === one.passId && each.startTick <= one.tick && one.tick < each.endTick,
    );
    const last = row.findLast(({ tick }) => phrase && tick >= phrase.startTick && tick < phrase.endTick);
    const isLastInPass = last === row[row.length - 1];
    const noteId = endNoteOf(one);
    const words = song.phraseEnds.filter((each) => each.noteId === noteId);
    const decided =
      words.find((each) => each.stanza === stanza) ?? words.find((each) => each.stanza === null);
    return {
      last: last && !isLastInPass ? last : null,
      isHere: last?.noteId === one.noteId,
      decided: decided?.ends ?? null,
      why:
        phrase?.why
          .filter(({ weight, rule }) => weight > 0 || rule === 'decided')
          .map(({ detail }) => detail) ?? [],
    };
  }

  const moveWord = (one: WordPlace, by: 1 | -1) => {
    const toTick = gridStep(arrangement, one.tick, by);
    const moved = moveNote(timeline, one.passId, one.noteId, toTick);
    if (!moved.ok) return refuse(moved.error);
    const done = edits?.putSung('moving a word', { put: moved.value, remove: [] });
    if (done && !done.ok) return refuse(done.error);
    tell(`“${one.text}” is on ${beatInWords(arrangement, toTick)}.`);
  };
  const moveChord = (one: ChordPlace, by: 1 | -1) => {
    if (!one.chord) return refuse({ what: 'No chord stands here', mend: 'Write one first' });
    const next = nextPlace(places, one, by);
    if (next?.kind !== 'chord' || next.passId !== one.passId)
      return refuse({ what: 'There is no beat to move it to', mend: 'Leave it here' });
    const done = edits?.moveChord(one.chord.id, next.barId, next.offset);
    if (done && !done.ok) return refuse(done.error);
    setAt(atOf(next));
    tell(`${one.chord.symbol} is on ${beatInWords(arrangement, next.tick)}.`);
  };

  return {
    place,
    places,
    said: message,
    problem,
    phraseEnd,
    stanza,
    isOnlyStanza,
    setOnlyStanza,
    choose,
    where: place ? beatInWords(arrangement, place.tick) : '',
    focusPlace: () => {
      wantsFocus.current = true;
      setAt((now) => (now ? { ...now } : now));
    },
    openLine: (lineKey) =>
      go(
        places.words.find((one) => one.lineKey === lineKey) ??
          places.chords.find((one) => one.lineKey === lineKey) ??
          null,
      ),
    close: () => {
      const line = place && root.current?.querySelector(`[data-line="${CSS.escape(place.lineKey)}"]`);
      line?.querySelector<HTMLElement>('.line-words')?.focus();
      choose(null);
    },
    field,
    typed,
    setTyped,
    write: (first) => {
      if (first !== undefined) setTyped(first);
      field.current?.focus();
      if (first === undefined) field.current?.select();
    },
    labelOf: (one) => {
      const on = beatInWords(arrangement, one.tick);
      if (one.kind === 'word') {
        const ends = endOf(one).isHere ? '; the line ends after it' : '';
        return `${one.text === '' ? 'no word' : `“${one.text}”`}, ${on}${ends}`;
      }
      if (!one.chord) return `no chord, ${on}`;
      return `${one.chord.symbol}${isReadable(one.chord.symbol) ? '' : ', not read as a chord'}, ${on}`;
    },
    step: (by) => go(place && nextPlace(places, place, by)),
    // From the words up to their chords, from those up to the line before; and down the same way.
    stepLine: (by) => {
      if (!place) return;
      const isInside = by < 0 === (place.kind === 'word');
      const over = isInside ? acrossFrom(places, place) : null;
      go(over ?? rowBeyond(places, place, by));
    },
    move: (by) => {
      if (place?.kind === 'word') moveWord(place, by);
      else if (place) moveChord(place, by);
    },
    breathe: () => {
      if (!word || !phraseEnd) return;
      if (phraseEnd.isHere && phraseEnd.last === null)
        return refuse({
          what: 'Nothing is sung after it in this pass',
          mend: 'The phrase ends with the pass',
        });
      const noteId = endNoteOf(word);
      const done = phraseEnd.isHere ? edits?.joinPhrase(noteId, scope) : edits?.endPhrase(noteId, scope);
      if (done && !done.ok) return refuse(done.error);
      tell(`${phraseEnd.isHere ? 'The line goes on' : 'A line ends'} after “${word.text}”${inScope}.`);
    },
    moveEnd: (by) => {
      const from = phraseEnd?.last;
      const to = from && nextPlace(places, from, by);
      if (!from || to?.kind !== 'word' || to.passId !== from.passId)
        return refuse({ what: 'The line’s end cannot be moved there', mend: 'Leave it where it is' });
      const done = edits?.movePhraseEnd(endNoteOf(from), endNoteOf(to), scope);
      if (done && !done.ok) return refuse(done.error);
      tell(`The line ends after “${to.text}”${inScope}.`);
    },
    letProgram: () => {
      if (!word) return;
      const done = edits?.letModelDecide(endNoteOf(word), null);
      if (done && !done.ok) return refuse(done.error);
      tell(`Whether a line ends after “${word.text}” is found from the song again.`);
    },
    keepWord: (typed) => {
      if (!word || stanza === null) return;
      const text = typed.trim();
      const joins = text.endsWith('-');
      const bare = joins ? text.slice(0, -1).trimEnd() : text;
      const note = song.notes.find(({ id }) => id === word.noteId);
      const endsLine = note?.syllables[stanza - 1]?.endsLine ?? false;
      const done = edits?.setSyllable(
        word.noteId,
        stanza,
        bare === '' ? null : { text: bare, joins, endsLine },
      );
      if (done && !done.ok) return refuse(done.error);
      tell(bare === '' ? 'The word is taken out; its note stays.' : `It says “${text}” now.`);
    },
    keepChord: (typed) => {
      if (place?.kind !== 'chord') return;
      const symbol = chordAsTyped(typed, isReadable);
      if (symbol === '') {
        if (!place.chord) return tell('No chord stands here.');
        const done = edits?.removeChord(place.chord.id);
        if (done && !done.ok) return refuse(done.error);
        return tell(`${place.chord.symbol} is taken out.`);
      }
      const done = edits?.setChord(place.barId, place.offset, symbol);
      if (done && !done.ok) return refuse(done.error);
      tell(`${symbol} stands on ${beatInWords(arrangement, place.tick)}.`);
      if (!isReadable(symbol))
        setProblem(
          `“${symbol}” cannot be read as a chord. It is kept as you wrote it and shown with a question mark; nothing is played from it until it is a chord, as G, Am7 or D/F#.`,
        );
    },
  };
}

/** In the line before or after: the lower row coming down to it is its chords, coming up to it its words. */
function rowBeyond(places: Places, place: LinePlace, by: 1 | -1): LinePlace | null {
  const lines = [...new Set(places.chords.map(({ lineKey }) => lineKey))];
  const lineKey = lines[lines.indexOf(place.lineKey) + by];
  const inLine = (one: LinePlace) => one.lineKey === lineKey;
  const words = places.words.filter(inLine);
  const chords = places.chords.filter(inLine);
  const row: readonly LinePlace[] = by > 0 || words.length === 0 ? chords : words;
  const own: readonly LinePlace[] = place.kind === 'word' ? places.words : places.chords;
  const start = own.find((one) => one.lineKey === place.lineKey)?.tick ?? place.tick;
  const first = row[0]?.tick ?? 0;
  return nearest(row, first + place.tick - start);
}

/** A chord's letter is a capital, where that makes a chord of it. */
function chordAsTyped(typed: string, isReadable: (symbol: string) => boolean): string {
  const symbol = typed.trim();
  const capital = symbol.charAt(0).toUpperCase() + symbol.slice(1);
  return isReadable(symbol) || !isReadable(capital) ? symbol : capital;
}
