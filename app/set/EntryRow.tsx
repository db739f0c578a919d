'use client';

import Link from 'next/link';
import { useEffect, useState } from 'react';
import { type Between, type ClockEntry, holdAtPlace, type SetSong } from '../../lib/sets';
import type { SetEntry } from '../../lib/song';
import { keyName } from '../../lib/theory';
import { Button } from '../ui/Button';
import { clockOf } from './clock';
import { EntryMore } from './EntryMore';
import type { EntryEdits } from './edits';
import type { Drag } from './useDrag';

/** One song of a set: when it begins, what it is, what can be done with it, and what lies before the next. */
export function EntryRow({
  entry,
  index,
  count,
  song,
  href,
  clock,
  after,
  sets,
  edits,
  drag,
}: {
  readonly entry: SetEntry;
  readonly index: number;
  readonly count: number;
  readonly song: SetSong;
  readonly href: string;
  readonly clock: ClockEntry;
  readonly after: Between | null;
  /** How many songs stand between breaks. */
  readonly sets: readonly number[];
  /** Null for listeners, and while nothing can be written. */
  readonly edits: EntryEdits | null;
  readonly drag: Drag;
}) {
  const title = song.title || 'A song without a title';
  const [more, setMore] = useState(false);
  const held = entry.hold !== null;
  const moving = drag.moving?.id === entry.id;
  return (
    <li data-entry={entry.id} className={moving ? 'opacity-60' : ''}>
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
        <span className="aside w-14 tabular-nums">{clockOf(clock.startSeconds)}</span>
        <Link
          href={href}
          data-song={entry.id}
          className="flex min-h-(--touch) items-center text-2xl leading-tight underline decoration-transparent underline-offset-4 hover:decoration-ink"
        >
          {title}
        </Link>
        <span className="aside tabular-nums">
          {[
            song.key && keyName(song.key),
            song.tempo && `${Math.round(song.tempo)} a minute`,
            clockOf(song.seconds),
          ]
            .filter(Boolean)
            .join(', ')}
        </span>
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
          <Button label={`More about ${title}`} expanded={more} onPress={() => setMore(!more)}>
            {more ? 'less' : 'more'}
          </Button>
          <NoteField title={title} note={entry.note} onKeep={(note) => edits.set(entry.id, { note })} />
        </div>
      ) : (
        entry.note && <p className="aside">{entry.note}</p>
      )}
      {edits && more && <EntryMore entry={entry} song={song} isLast={index === count - 1} edits={edits} />}
      {after && (
        <p className="aside my-2 border-l border-faint pl-4" data-between>
          {betweenSaid(entry, after)}
        </p>
      )}
    </li>
  );
}

function heldSaid(hold: SetEntry['hold']): string {
  if (hold === null) return 'hold here';
  return typeof hold === 'number' ? `held at ${hold}` : `held ${hold}`;
}

function betweenSaid({ linkBars }: SetEntry, { atBreak, seconds, steps }: Between): string {
  const changes = steps.join('; ');
  if (atBreak) return changes ? `break; meanwhile ${changes}` : 'break';
  const much = linkBars === null ? `${Math.round(seconds)} s` : 'straight on';
  return changes ? `${much}: ${changes}` : much;
}

/** What is to be said or done there. It is kept when the field is left, or with Enter. */
function NoteField({
  title,
  note,
  onKeep,
}: {
  readonly title: string;
  readonly note: string;
  readonly onKeep: (note: string) => void;
}) {
  const [draft, setDraft] = useState(note);
  useEffect(() => setDraft(note), [note]);
  const keep = () => {
    if (draft.trim() !== note) onKeep(draft.trim());
  };
  return (
    <input
      aria-label={`Note for ${title}`}
      placeholder="note"
      className="plain min-h-(--touch) w-56 border-0 border-edge border-b bg-transparent px-1"
      value={draft}
      maxLength={500}
      onChange={(event) => setDraft(event.target.value)}
      onBlur={keep}
      onKeyDown={(event) => event.key === 'Enter' && keep()}
    />
  );
}
