'use client';

import { type RefObject, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { Problem, Result } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import type { Arrangement } from '../../lib/parts';
import type { Voice } from '../../lib/song';
import { untilItComes } from '../hooks/untilItComes';
import {
  type At,
  acrossFrom,
  atKey,
  atOf,
  beatInWords,
  endNoteOf,
  type LinePlace,
  nearest,
  nextPlace,
  type Places,
  placeAt,
  placesOf,
  rowBeyond,
  voicesAt,
  type WordPlace,
} from './places';
import type { Outcome, WordEditing } from './word-edits';

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
  /** What was done last: for who cannot see the line. */
  readonly said: string;
  /** Why it was not done, or what is to be looked at. */
  readonly problem: string | null;
  readonly phraseEnd: PhraseEndHere | null;
  /** Which stanza the pass of the chosen place sings; null: nobody sings. */
  readonly stanza: number | null;
  /** Whether moves and breaths count for that stanza alone. */
  readonly isOnlyStanza: boolean;
  readonly setOnlyStanza: (only: boolean) => void;
  /** Whose words are chosen among, where more than one voice sings in the line; null: one alone does. */
  readonly voice: Voice | null;
  /** Whose come after them. */
  readonly nextVoice: Voice | null;
  readonly toNextVoice: () => void;
  readonly choose: (at: At | null) => void;
  readonly openLine: (lineKey: string) => void;
  readonly close: () => void;
  readonly step: (by: 1 | -1) => void;
  readonly stepLine: (by: 1 | -1) => void;
  readonly move: (by: 1 | -1) => void;
  readonly breathe: () => void;
  readonly moveEnd: (by: 1 | -1) => void;
  readonly letProgram: () => void;
  readonly addWord: () => void;
  readonly dropWord: () => void;
  /** Keeps what was typed as the chosen word or chord; nothing typed takes it out. */
  readonly keep: (text: string) => void;
  /** Where the chosen place is, in words. */
  readonly where: string;
  readonly focusPlace: () => void;
  /** The panel stands: the focus goes back to where it was, into what was being typed too. */
  readonly arrive: () => void;
  /** The field in which the chosen word or chord is written. */
  readonly field: RefObject<HTMLInputElement | null>;
  readonly typed: string | null;
  readonly setTyped: (text: string | null) => void;
  readonly write: (first?: string) => void;
  readonly labelOf: (place: LinePlace) => string;
}

/** While nobody changes anything, none are looked for. */
const NO_PLACES: Places = { words: [], chords: [] };

/** The edits themselves come with the first need of them. */
const loadEdits = () => untilItComes(() => import('./word-edits'));
type Edits = Awaited<ReturnType<typeof loadEdits>>;

const inWords = ({ what, mend }: Problem) => `${what}: ${mend.charAt(0).toLowerCase()}${mend.slice(1)}.`;

export function useWords(
  root: RefObject<HTMLElement | null>,
  arrangement: Arrangement,
  edits: SongEdits | null,
  isReadable: (symbol: string) => boolean,
): WordsWay {
  const { song } = arrangement;
  const [at, setAt] = useState<At | null>(null);
  const [message, setMessage] = useState('');
  const [problem, setProblem] = useState<string | null>(null);
  const [isOnlyStanza, setOnlyStanza] = useState(false);
  const [typed, setTyped] = useState<string | null>(null);
  const field = useRef<HTMLInputElement>(null);
  /** Where the focus goes once what was done stands on the page. */
  const wanted = useRef<'place' | 'field' | null>(null);
  const lastTick = useRef(0);
  /** Whose words can be chosen; null: those of each line's top voice. */
  const [voiceId, setVoiceId] = useState<string | null>(null);
  const isOpen = at !== null;
  const places = useMemo(
    () => (isOpen ? placesOf(arrangement, voiceId) : NO_PLACES),
    [arrangement, voiceId, isOpen],
  );

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
    // Not before the panel stands, whose keys then act on what has the focus.
    if (wanted.current === null || key === null || field.current === null) return;
    const element =
      wanted.current === 'field'
        ? field.current
        : root.current?.querySelector<HTMLElement>(`[data-at="${CSS.escape(key)}"]`);
    if (!element) return;
    wanted.current = null;
    element.focus();
    if (element === field.current && typed === null) field.current?.select();
  });

  const choose = useCallback((next: At | null) => {
    if (next !== null) void loadEdits();
    wanted.current = next === null ? null : 'place';
    setProblem(null);
    setMessage('');
    setTyped(null);
    setAt(next);
  }, []);
  const go = (next: LinePlace | null) => {
    if (next) choose(atOf(next));
  };
  const tell = (outcome: Result<Outcome>) => {
    wanted.current = outcome.ok && outcome.value.write ? 'field' : 'place';
    setTyped(null);
    setMessage(outcome.ok ? outcome.value.said : '');
    setProblem(outcome.ok ? (outcome.value.problem ?? null) : inWords(outcome.error));
    if (outcome.ok && outcome.value.at) setAt(outcome.value.at);
  };

  const voices = useMemo(() => (place ? voicesAt(arrangement, place) : []), [arrangement, place]);
  const voiceAt = Math.max(
    0,
    voices.findIndex(({ id }) => id === voiceId),
  );
  const voice = voices.length > 1 ? (voices[voiceAt] ?? null) : null;
  const nextVoice = voice && (voices[(voiceAt + 1) % voices.length] ?? null);

  const pass = song.passes.find(({ id }) => id === place?.passId) ?? null;
  const stanza = pass?.stanza ?? null;
  const word = place?.kind === 'word' ? place : null;
  const chord = place?.kind === 'chord' ? place : null;
  const phraseEnd = word && endOf(arrangement, places, word, stanza);
  const editing = edits && {
    arrangement,
    places,
    edits,
    pass,
    only: isOnlyStanza ? stanza : null,
    isReadable,
  };
  const run = async (one: (edit: Edits, way: WordEditing) => Result<Outcome> | Promise<Result<Outcome>>) => {
    if (editing) tell(await one(await loadEdits(), editing));
  };
  /** An edit of the chosen word. */
  const onWord = (one: (edit: Edits, way: WordEditing, word: WordPlace) => Result<Outcome>) => () => {
    if (word) void run((edit, way) => one(edit, way, word));
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
    voice,
    nextVoice,
    toNextVoice: () => {
      if (!nextVoice || !place) return;
      const own = nextVoice.id === voices[0]?.id ? null : nextVoice.id;
      const words = placesOf(arrangement, own).words.filter(({ lineKey }) => lineKey === place.lineKey);
      setVoiceId(own);
      go(nearest(words, place.tick));
    },
    choose,
    openLine: (lineKey) => {
      const inLine = (one: LinePlace) => one.lineKey === lineKey;
      // A line is opened with its top voice's words.
      const top = placesOf(arrangement);
      setVoiceId(null);
      go(top.words.find(inLine) ?? top.chords.find(inLine) ?? null);
    },
    close: () => {
      const line = place && root.current?.querySelector(`[data-line="${CSS.escape(place.lineKey)}"]`);
      line?.querySelector<HTMLElement>('.line-words')?.focus();
      choose(null);
    },
    step: (by) => go(place && nextPlace(places, place, by)),
    // From the words up to their chords, from those up to the line before; and down the same way.
    stepLine: (by) => {
      if (!place) return;
      const isInside = by < 0 === (place.kind === 'word');
      go((isInside ? acrossFrom(places, place) : null) ?? rowBeyond(places, place, by));
    },
    move: (by) => {
      if (word) void run((edit, way) => edit.moveWord(way, word, by));
      else if (chord) void run((edit, way) => edit.moveChord(way, chord, by));
    },
    breathe: onWord((edit, way, one) => edit.breathe(way, one, !phraseEnd?.isHere)),
    moveEnd: (by) => {
      const last = phraseEnd?.last;
      if (last) void run((edit, way) => edit.moveEnd(way, last, by));
    },
    letProgram: onWord((edit, way, one) => edit.letProgram(way, one)),
    addWord: onWord((edit, way, one) => edit.addWord(way, one)),
    dropWord: onWord((edit, way, one) => edit.takeWordOut(way, one)),
    keep: (text) => {
      if (word) void run((edit, way) => edit.writeWord(way, word, text));
      else if (chord) void run((edit, way) => edit.writeChord(way, chord, text));
    },
    where: place ? beatInWords(arrangement, place.tick) : '',
    focusPlace: () => {
      wanted.current = 'place';
      setTyped(null);
      setAt((now) => (now ? { ...now } : now));
    },
    arrive: () => {
      wanted.current ??= typed === null ? 'place' : 'field';
      setAt((now) => (now ? { ...now } : now));
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
        const ends = endOf(arrangement, places, one, stanza).isHere ? '; the line ends after it' : '';
        const whose = voice && voiceAt > 0 ? `${voice.name}, ` : '';
        return `${one.text === '' ? 'no word' : `“${one.text}”`}, ${whose}${on}${ends}`;
      }
      if (!one.chord) return `no chord, ${on}`;
      return `${one.chord.symbol}${isReadable(one.chord.symbol) ? '' : ', not read as a chord'}, ${on}`;
    },
  };
}

function endOf(
  arrangement: Arrangement,
  places: Places,
  word: WordPlace,
  stanza: number | null,
): PhraseEndHere {
  const row = places.words.filter(({ passId }) => passId === word.passId);
  const voiceId = arrangement.song.notes.find(({ id }) => id === word.noteId)?.voiceId;
  const phrase = arrangement.phrases.find(
    (each) =>
      each.passId === word.passId &&
      each.voiceId === voiceId &&
      each.startTick <= word.tick &&
      word.tick < each.endTick,
  );
  const last = row.findLast(({ tick }) => phrase && tick >= phrase.startTick && tick < phrase.endTick);
  const noteId = endNoteOf(arrangement, word);
  const words = arrangement.song.phraseEnds.filter((each) => each.noteId === noteId);
  const decided = words.find((each) => each.stanza === stanza) ?? words.find((each) => each.stanza === null);
  const why = phrase?.why.filter(({ weight, rule }) => weight > 0 || rule === 'decided') ?? [];
  return {
    last: last && last !== row[row.length - 1] ? last : null,
    isHere: last?.noteId === word.noteId,
    decided: decided?.ends ?? null,
    why: why.map(({ detail }) => detail),
  };
}
