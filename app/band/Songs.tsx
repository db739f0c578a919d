'use client';

import Link from 'next/link';
import { useRouter } from 'next/navigation';
import { useRef } from 'react';
import type { SongEntry } from '../../lib/song';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { ActionLink } from '../ui/Button';
import { Key } from '../ui/Key';

/** The band's songs in their order. Arrow keys go through them, Enter opens one, and the first nine have a number. */
export function Songs({
  bandId,
  songs,
  mayEdit,
}: {
  readonly bandId: string;
  readonly songs: readonly SongEntry[];
  readonly mayEdit: boolean;
}) {
  const router = useRouter();
  const list = useRef<HTMLOListElement>(null);
  const address = (song: SongEntry) => `/band/${bandId}/song/${song.id}`;

  const step = (by: 1 | -1) => {
    const links = [...(list.current?.querySelectorAll('a') ?? [])];
    const at = links.findIndex((link) => link.contains(document.activeElement));
    const next = at < 0 ? (by === 1 ? 0 : links.length - 1) : (at + by + links.length) % links.length;
    links[next]?.focus();
  };
  const numbered = Object.fromEntries(
    songs.slice(0, 9).map((song, i) => [String(i + 1), () => router.push(address(song))]),
  );
  useKeys({ ...numbered, [ARROWS.down]: () => step(1), [ARROWS.up]: () => step(-1) }, songs.length > 0);

  return (
    <>
      {songs.length === 0 && (
        <p className="max-w-prose">
          No songs yet.{' '}
          {mayEdit ? 'Bring one in from an ABC file, or paste it as text.' : 'The players bring them in.'}
        </p>
      )}
      <ol ref={list} className={songs.length > 0 ? '-mt-2' : 'mt-2'}>
        {songs.map((song, i) => (
          <li key={song.id} className="flex items-baseline">
            <Link
              href={address(song)}
              className="flex min-h-(--touch) items-center text-2xl leading-tight underline decoration-transparent underline-offset-4 hover:decoration-ink"
              aria-keyshortcuts={i < 9 ? String(i + 1) : undefined}
            >
              {song.title || 'A song without a title'}
            </Link>
            {i < 9 && <Key name={String(i + 1)} />}
          </li>
        ))}
      </ol>
      {mayEdit && (
        <ActionLink
          href={`/band/${bandId}/bring-in`}
          shortcut="b"
          look={songs.length === 0 ? 'main' : 'words'}
        >
          Bring in a song
        </ActionLink>
      )}
    </>
  );
}
