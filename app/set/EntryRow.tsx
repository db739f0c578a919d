'use client';

import Link from 'next/link';
import type { ReactNode } from 'react';
import { type ClockEntry, clockInFigures, holdAtPlace, type SetSong } from '../../lib/sets';
import type { SetEntry } from '../../lib/song';
import { keyName } from '../../lib/theory';
import { Button } from '../ui/Button';
import type { EntryEdits } from './edits';
import { KeptField } from './KeptField';
import type { Drag } from './useDrag';

const DROPS = { before: 'border-t-2 border-ink', after: 'border-b-2 border-ink' } as const;

/** One song of a set: when it begins, what it is, what can be done with it. */
export function EntryRow({
  entry,
  index,
  count,
  song,
  href,
  clock,
  sets,
  edits,
  drag,
  drop,
  heading,
  lastTime,
  more,
  between,
}: {
  readonly entry: SetEntry;
  readonly index: number;
  readonly count: number;
  readonly song: SetSong;
  readonly href: string;
  readonly clock: ClockEntry;
  /** How many songs stand between breaks. */
  readonly sets: readonly number[];
  /** Null for listeners, and while nothing can be written. */
  readonly edits: EntryEdits | null;
  readonly drag: Drag;
  /** On which side of it what is dragged would come to stand. */
  readonly drop: 'before' | 'after' | null;
  /** Said above the song that opens one of several sets. */
  readonly heading: string | null;
  /** What was said of it after the last gig. */
  readonly lastTime: string | null;
  readonly more: { readonly isOpen: boolean; readonly toggle: () => void; readonly content: ReactNode };
  /** What lies before the next song. */
  readonly between: ReactNode;
}) {
  const title = song.title || 'A song without a title';
  const held = entry.hold !== null;
  const moving = drag.moving?.id === entry.id;
  const facts = [
    song.key && keyName(song.key),
    song.tempo && `${Math.round(song.tempo)} a minute`,
    clockInFigures(song.seconds),
  ];
  return (
    <li data-entry={entry.id} className={`${moving ? 'opacity-60' : ''} ${drop === null ? '' : DROPS[drop]}`}>
      {heading !== null && <p className="plain mt-4 font-semibold tabular-nums">{heading}</p>}
      <div className="flex flex-wrap items-baseline gap-x-4">
        {edits && (
          <span
            aria-hidden="true"
            className="flex min-h-(--touch) min-w-(--touch) cursor-grab touch-none select-none items-center justify-center text-quiet"
            {...drag.handle(entry.id)}
          >
            ↕
          </span>
        )}
        <span className="aside w-14 tabular-nums">{clockInFigures(clock.startSeconds)}</span>
        <Link
          href={href}
          data-song={entry.id}
          className="flex min-h-(--touch) items-center text-2xl leading-tight underline decoration-transparent underline-offset-4 hover:decoration-ink"
        >
          {title}
        </Link>
        <span className="aside tabular-nums">{facts.filter(Boolean).join(', ')}</span>
        {lastTime !== null && <span className="aside">last time {lastTime}</span>}
      </div>
      {edits ? (
        <div className="flex flex-wrap items-baseline gap-x-5">
          <Button
            label={`Move ${title} up`}
            disabled={index === 0}
            onPress={() => edits.move(entry.id, index - 1)}
          >
            up
          </Button>
          <Button
            label={`Move ${title} down`}
            disabled={index === count - 1}
            onPress={() => edits.move(entry.id, index + 1)}
          >
            down
          </Button>
          <Button
            label={`Hold ${title} in place`}
            pressed={held}
            onPress={() => edits.set(entry.id, { hold: held ? null : holdAtPlace(index, sets) })}
          >
            {heldSaid(entry.hold)}
          </Button>
          <Button label={`Take out ${title}`} onPress={() => edits.takeOut(entry.id)}>
            take out
          </Button>
          <Button label={`More about ${title}`} expanded={more.isOpen} onPress={more.toggle}>
            {more.isOpen ? 'less' : 'more'}
          </Button>
          <KeptField
            label={`Note for ${title}`}
            placeholder="note"
            width="field-sizing-content min-w-56"
            most={500}
            value={entry.note}
            onKeep={(note) => edits.set(entry.id, { note })}
          />
        </div>
      ) : (
        entry.note && <p className="aside">{entry.note}</p>
      )}
      {more.isOpen && more.content}
      {between}
    </li>
  );
}

function heldSaid(hold: SetEntry['hold']): string {
  if (hold === null) return 'hold here';
  return typeof hold === 'number' ? `held at ${hold}` : `held ${hold}`;
}
