'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandEdits } from '../../lib/document';
import { type SongForBand, setForBand } from '../../lib/exchange';
import type { Band, SetList } from '../../lib/song';
import { ask } from '../hooks/api';
import { newId } from '../hooks/newId';

/** What has become of songs that are brought in together. */
export interface Bringing {
  /**
   * `bringing`: one after another; `waiting`: for the server, which takes so many a minute; `halted`: stopped, or one could not be taken;
   * `listing`: all are there, and their sets come next; `done`.
   */
  readonly state: 'bringing' | 'waiting' | 'halted' | 'listing' | 'done';
  readonly songs: readonly SongForBand[];
  readonly sets: readonly SetList[];
  /** Ids, in the file, of the songs that are the band's now, and of those that were given up. */
  readonly made: ReadonlySet<string>;
  readonly without: ReadonlySet<string>;
  /** What the song that comes next met with; null: nothing, or the sets. */
  readonly problem: Problem | null;
}

const WAIT_MILLISECONDS = 10_000;

const nextOf = ({ songs, made, without }: Bringing): SongForBand | null =>
  songs.find(({ from }) => !made.has(from) && !without.has(from)) ?? null;

/**
 * Brings songs in one after another, and, once all are in the band's list, what goes with them. It can be stopped and gone on with: a song
 * that has come in is not brought in twice.
 */
export function useBringing(bandId: string, band: Band, edits: BandEdits | null) {
  const [now, setNow] = useState<Bringing | null>(null);
  /** What stands, for what goes on between two drawings. */
  const latest = useRef<Bringing | null>(null);
  /** Counts what was begun: what an older beginning still says does not count. */
  const round = useRef(0);

  const set = useCallback((next: Bringing | null) => {
    latest.current = next;
    setNow(next);
  }, []);

  const goOn = useCallback(async () => {
    round.current += 1;
    const mine = round.current;
    const isOver = () => round.current !== mine;
    for (;;) {
      const standing = latest.current;
      if (standing === null || isOver()) return;
      const next = nextOf(standing);
      if (next === null) return set({ ...standing, state: 'listing', problem: null });
      set({ ...standing, state: 'bringing', problem: null });
      const answer = await ask(`/api/bands/${bandId}/songs`, 'songMade', { song: next.song });
      const then = latest.current;
      if (then === null) return;
      // Said again of a song whose first answer was lost on the way.
      const isMade = answer.ok || answer.error.code === 'already there';
      if (isMade) set({ ...then, made: new Set(then.made).add(next.from) });
      if (isOver()) return;
      if (isMade || answer.ok) continue;
      if (answer.error.code !== 'too often') return set({ ...then, state: 'halted', problem: answer.error });
      set({ ...then, state: 'waiting' });
      await new Promise((done) => setTimeout(done, WAIT_MILLISECONDS));
    }
  }, [bandId, set]);

  const begin = useCallback(
    (songs: readonly SongForBand[], sets: readonly SetList[]) => {
      set({ state: 'bringing', songs, sets, made: new Set(), without: new Set(), problem: null });
      void goOn();
    },
    [goOn, set],
  );
  const stop = useCallback(() => {
    round.current += 1;
    const standing = latest.current;
    if (standing) set({ ...standing, state: 'halted', problem: null });
  }, [set]);
  useEffect(
    () => () => {
      round.current += 1;
    },
    [],
  );
  /** Gives up the song that comes next, or all that have not come in yet, and goes on. */
  const leaveOut = useCallback(
    (which: 'next' | 'rest') => {
      const standing = latest.current;
      if (!standing) return;
      const missing = standing.songs.filter(
        ({ from }) => !standing.made.has(from) && !standing.without.has(from),
      );
      const left = which === 'next' ? missing.slice(0, 1) : missing;
      set({ ...standing, without: new Set([...standing.without, ...left.map(({ from }) => from)]) });
      void goOn();
    },
    [goOn, set],
  );
  const forget = useCallback(() => {
    round.current += 1;
    set(null);
  }, [set]);

  // The list tells of each song when it has heard of it; what names a song waits for that.
  useEffect(() => {
    if (now?.state !== 'listing' || edits === null) return;
    const made = now.songs.filter(({ from }) => now.made.has(from));
    const listed = new Set(band.songs.map(({ id }) => id));
    if (!made.every(({ song }) => listed.has(song.id))) return;
    const newIdOf = new Map(made.map(({ from, song }) => [from, song.id]));
    const sets = made.length === 0 ? [] : now.sets;
    const brought = {
      entries: made.map(({ entry }) => entry).filter(({ energy, archived }) => energy !== null || archived),
      sets: sets.map((one) =>
        setForBand(one, (id) => newIdOf.get(id) ?? null, { setId: newId(), entryId: newId }),
      ),
    };
    const isAny = brought.entries.length + brought.sets.length > 0;
    const done = isAny ? edits.bringIn(brought) : null;
    set({ ...now, state: 'done', problem: done === null || done.ok ? null : done.error });
  }, [band, edits, now, set]);

  return { now, begin, goOn, stop, leaveOut, forget };
}
