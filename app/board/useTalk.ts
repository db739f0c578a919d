'use client';

import { type RefObject, useCallback, useMemo, useState } from 'react';
import {
  type Arrangement,
  isOfLine,
  type Line,
  lineAt,
  type Talk,
  talkOf,
  unanswered,
} from '../../lib/parts';
import type { Comment, Place } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { TalkInMargin } from './look';
import type { Walk } from './useWalk';
import type { WordsWay } from './useWords';

/** The talk of a line or of a pass, by the line's key or the pass's id. */
interface TalkAt {
  readonly kind: 'line' | 'pass';
  readonly id: string;
}

/** What is said on a board, and of which line or pass it is open. */
export interface TalkWay {
  readonly talk: Talk;
  /** What is open of it; null: nothing. */
  readonly at: TalkAt | null;
  readonly isOpen: (at: TalkAt) => boolean;
  readonly toggleLine: (lineKey: string) => void;
  readonly togglePass: (passId: string) => void;
  readonly close: () => void;
  /** What a line's margin says of it: what is said of the line, and of the spaces in it. */
  readonly inLine: (line: Line) => TalkInMargin;
  readonly inPass: (passId: string) => TalkInMargin;
  /** Opens the talk of the line whose place it is; false where it is no line's place. */
  readonly goTo: (place: Place) => boolean;
}

const NOTHING: readonly Comment[] = [];

/** One thing is open at a time: a space, a line's words, or a talk. */
export function useTalk(
  root: RefObject<HTMLElement | null>,
  arrangement: Arrangement,
  walk: Walk,
  way: WordsWay,
): TalkWay {
  const talk = useMemo(() => talkOf(arrangement), [arrangement]);
  const [at, setAt] = useState<TalkAt | null>(null);
  if (at !== null && (walk.open !== null || way.place !== null)) setAt(null);
  const { setOpen } = walk;
  const { choose } = way;
  const toggle = useCallback(
    (kind: TalkAt['kind'], id: string) => {
      setOpen(null);
      choose(null);
      setAt((now) => (now?.kind === kind && now.id === id ? null : { kind, id }));
    },
    [setOpen, choose],
  );
  const toggleLine = useCallback((lineKey: string) => toggle('line', lineKey), [toggle]);
  const isOpen = ({ kind, id }: TalkAt) => at?.kind === kind && at.id === id;
  const closed = useMemo(() => marginsOf(talk), [talk]);
  const tell = (margin: TalkInMargin, where: TalkAt): TalkInMargin =>
    isOpen(where) ? { ...margin, isOpen: true } : margin;
  return {
    talk,
    at,
    isOpen,
    toggleLine,
    togglePass: (passId) => toggle('pass', passId),
    close: () => {
      // The focus goes back to what opened it.
      const opener = at && `[data-talk="${CSS.escape(at.id)}"]`;
      if (opener) root.current?.querySelector<HTMLElement>(opener)?.focus();
      setAt(null);
    },
    inLine: (line) => tell(closed.inLine(line), { kind: 'line', id: line.key }),
    inPass: (passId) => tell(closed.inPass(passId), { kind: 'pass', id: passId }),
    goTo: (place) => {
      const line = isOfLine(place) ? lineAt(arrangement, place) : null;
      if (!line) return false;
      if (!isOpen({ kind: 'line', id: line.key })) toggleLine(line.key);
      root.current?.querySelector(`[data-line="${CSS.escape(line.key)}"]`)?.scrollIntoView();
      return true;
    },
  };
}

/** What margins tell while nothing is open, each counted once: it stays the same object as long as the talk does. */
function marginsOf(talk: Talk): {
  readonly inLine: (line: Line) => TalkInMargin;
  readonly inPass: (passId: string) => TalkInMargin;
} {
  const told = new Map<Line | string, TalkInMargin>();
  const once = (key: Line | string, saidThere: () => readonly (readonly Comment[])[]): TalkInMargin => {
    const before = told.get(key);
    if (before) return before;
    const said = saidThere();
    const margin = {
      said: said.reduce((sum, each) => sum + each.length, 0),
      waits: said.some((each) => unanswered(each).length > 0),
      isOpen: false,
    };
    told.set(key, margin);
    return margin;
  };
  return {
    inLine: (line) =>
      once(line, () => [
        talk.byLine.get(line.key) ?? NOTHING,
        ...spacesIn(line).map(({ id }) => talk.bySpace.get(id) ?? NOTHING),
      ]),
    inPass: (passId) => once(passId, () => [talk.byPass.get(passId) ?? NOTHING]),
  };
}

/** The spaces that begin in a line; what is said of one at the start of its pass is told of the pass. */
export const spacesIn = (line: Line): readonly Space[] => [
  ...new Set(
    line.segments.flatMap(({ spaces }) =>
      spaces
        .filter(({ space, startTick }) => space.place.noteId !== null && startTick === space.startTick)
        .map(({ space }) => space),
    ),
  ),
];
