'use client';

import { useEffect, useMemo, useRef } from 'react';
import {
  clockInFigures,
  type EveningModel,
  nextBest,
  type OrderCosts,
  type RunningClock,
  setInWords,
} from '../../lib/sets';
import { type Band, lastRemark, remarkInWords, type SetEntry, type SetList } from '../../lib/song';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { BetweenLine } from './BetweenLine';
import { EntryMore } from './EntryMore';
import { EntryRow } from './EntryRow';
import type { EntryEdits } from './edits';
import { useDrag } from './useDrag';
import { useToggles } from './useToggles';

const DELETE = 'Delete';

/** The songs of a set in order, with the clock, what lies between them, and all that can be done with one by key, pointer and touch. */
export function SetSongs({
  set,
  band,
  model,
  costs,
  clock,
  nameOf,
  titleOf,
  edits,
}: {
  readonly set: SetList;
  readonly band: Band;
  readonly model: EveningModel;
  readonly costs: OrderCosts;
  readonly clock: RunningClock;
  readonly nameOf: (playerId: string) => string;
  /** By the song's id. */
  readonly titleOf: (songId: string) => string;
  readonly edits: EntryEdits | null;
}) {
  const { entries } = set;
  const list = useRef<HTMLOListElement>(null);
  const carried = useRef<string | null>(null);
  const [more, why] = [useToggles(), useToggles()];
  const drag = useDrag(list, (id, toIndex) => edits?.move(id, toIndex));
  const links = () => [...(list.current?.querySelectorAll<HTMLElement>('a[data-song]') ?? [])];
  const atFocus = () => links().findIndex((link) => link.closest('li')?.contains(document.activeElement));
  const step = (by: 1 | -1) => {
    const all = links();
    const at = atFocus();
    all[at < 0 ? 0 : (at + by + all.length) % all.length]?.focus();
  };
  const carry = (by: 1 | -1) => {
    const at = atFocus();
    const entry = entries[at];
    const to = at + by;
    if (!entry || to < 0 || to >= entries.length) return;
    carried.current = entry.id;
    edits?.move(entry.id, to);
  };
  // A row that is moved loses what had the focus in it.
  useEffect(() => {
    const id = carried.current;
    carried.current = null;
    if (id !== null && entries.length > 0)
      links()
        .find((link) => link.dataset.song === id)
        ?.focus();
  });
  const onFocused = (act: (entry: SetEntry) => void) => {
    const entry = entries[atFocus()];
    if (entry) act(entry);
  };
  useKeys({
    [ARROWS.down]: () => step(1),
    [ARROWS.up]: () => step(-1),
    [`shift+${ARROWS.down}`]: () => carry(1),
    [`shift+${ARROWS.up}`]: () => carry(-1),
    m: () => onFocused(({ id }) => more.toggle(id)),
    y: () => onFocused(({ id }) => why.toggle(id)),
    [DELETE]: () => onFocused(({ id }) => edits?.takeOut(id)),
  });
  const instead = useMemo(
    () =>
      why.any
        ? nextBest(
            model,
            entries.map(({ id }) => id),
          )
        : null,
    [why.any, model, entries],
  );
  const titleOfEntry = (id: string) => model.song(id).title || 'A song without a title';
  const sets = clock.setSeconds;
  const drop = dropAt(entries, drag.moving);
  return (
    <>
      {edits && entries.length > 1 && (
        <p className="aside for-keys">
          Arrow keys go through the songs; with Shift they carry one along. On a song: m shows more, y why it
          comes next, Delete takes it out.
        </p>
      )}
      <ol ref={list} aria-label="The songs in order">
        {entries.map((entry, index) => {
          const at = clock.entries[index] ?? { songId: entry.id, set: 0, startSeconds: 0, endSeconds: 0 };
          const opens = index === 0 || costs.between[index - 1]?.atBreak === true;
          const between = costs.between[index];
          const remark = lastRemark(band, entry.songId);
          return (
            <EntryRow
              key={entry.id}
              entry={entry}
              index={index}
              count={entries.length}
              song={model.song(entry.id)}
              href={`/band/${band.id}/song/${entry.songId}`}
              clock={at}
              sets={model.evening.sets}
              edits={edits}
              drag={drag}
              drop={drop?.id === entry.id ? drop.side : null}
              heading={
                opens && sets.length > 1
                  ? `${setInWords(at.set)}, ${clockInFigures(sets[at.set] ?? 0)}`
                  : null
              }
              lastTime={remark && remarkInWords(remark, band.players)}
              more={{
                isOpen: more.has(entry.id),
                toggle: () => more.toggle(entry.id),
                content: edits && (
                  <EntryMore
                    entry={entry}
                    set={set}
                    energy={model.song(entry.id).energy}
                    isLast={index === entries.length - 1}
                    titleOf={titleOf}
                    edits={edits}
                  />
                ),
              }}
              between={
                between && (
                  <BetweenLine
                    entry={entry}
                    between={between}
                    placed={costs.places[index + 1]}
                    instead={instead?.[index]}
                    titleOf={titleOfEntry}
                    nameOf={nameOf}
                    isOpen={why.has(entry.id)}
                    onToggle={() => why.toggle(entry.id)}
                  />
                )
              }
            />
          );
        })}
      </ol>
    </>
  );
}

/** Where what is dragged would come to stand: before a song, or after the last. */
function dropAt(
  entries: readonly SetEntry[],
  moving: { readonly id: string; readonly to: number } | null,
): { readonly id: string; readonly side: 'before' | 'after' } | null {
  if (moving === null) return null;
  const others = entries.filter(({ id }) => id !== moving.id);
  const next = others[moving.to];
  if (next) return { id: next.id, side: 'before' };
  const last = others[others.length - 1];
  return last ? { id: last.id, side: 'after' } : null;
}
