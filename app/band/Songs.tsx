'use client';

import { useRouter } from 'next/navigation';
import { useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandEdits } from '../../lib/document';
import type { Band, SongEntry } from '../../lib/song';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { ActionLink, Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import { FirstSteps } from './FirstSteps';
import { SongRow } from './SongRow';
import { copyTitle, findSongs, SONG_ORDERS, type SongFacts, type SongOrder, sortSongs } from './song-list';

/** From this many songs on a search is worth its line. */
const MANY = 5;

/**
 * The band's songs: found as one types, sorted as one likes, copied, put away and brought back. Arrow keys go through them, Enter opens
 * one, and the first nine have a number.
 */
export function Songs({
  band,
  mayEdit,
  edits,
  facts,
}: {
  readonly band: Band;
  readonly mayEdit: boolean;
  /** Null while nothing can be written. */
  readonly edits: BandEdits | null;
  readonly facts: Readonly<Record<string, SongFacts>> | null;
}) {
  const router = useRouter();
  const list = useRef<HTMLDivElement>(null);
  const box = useRef<HTMLInputElement>(null);
  const [search, setSearch] = useState('');
  const [order, setOrder] = useState<SongOrder>(SONG_ORDERS[0]);
  const [tending, setTending] = useState(false);
  const [copying, setCopying] = useState<string | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState<Problem | null>(null);

  const found = sortSongs(findSongs(band.songs, search), order, facts ?? {});
  const inUse = found.filter(({ archived }) => !archived);
  const putAway = found.filter(({ archived }) => archived);
  const address = (song: SongEntry) => `/band/${band.id}/song/${song.id}`;

  const step = (by: 1 | -1) => {
    const links = [...(list.current?.querySelectorAll<HTMLElement>('a[data-song]') ?? [])];
    const at = links.findIndex((link) => link.closest('li')?.contains(document.activeElement));
    const next = at < 0 ? (by === 1 ? 0 : links.length - 1) : (at + by + links.length) % links.length;
    links[next]?.focus();
  };
  const numbered = Object.fromEntries(
    inUse.slice(0, 9).map((song, i) => [String(i + 1), () => router.push(address(song))]),
  );
  const hasMany = band.songs.length >= MANY || search !== '';
  useKeys({ ...numbered, [ARROWS.down]: () => step(1), [ARROWS.up]: () => step(-1) }, band.songs.length > 0);
  useKeys({ '/': () => box.current?.focus() }, hasMany);

  const sortBy = (chosen: SongOrder) => {
    setOrder(chosen);
    // Keys and dates stand in the songs themselves; they are asked for when they are wanted.
    if (facts === null && (chosen === 'key' || chosen === 'last settled'))
      router.replace(`/band/${band.id}?facts`, { scroll: false });
  };
  const copy = async (song: SongEntry) => {
    setCopying(song.id);
    setProblem(null);
    const title = copyTitle(song.title, band.songs);
    const { copySong } = await import('./copy-song');
    const done = await copySong(band.id, song.id, title);
    setCopying(null);
    if (!done.ok) return setProblem(done.error);
    setSaid(`“${title}” was made.`);
  };
  const putBy = (song: SongEntry, archived: boolean) => {
    const done = edits?.setSong(song.id, { archived });
    if (done && !done.ok) return setProblem(done.error);
    setProblem(null);
    setSaid(`“${song.title}” is ${archived ? 'put away' : 'back among the songs'}.`);
  };
  const row = (song: SongEntry, number: number | null) => (
    <SongRow
      key={song.id}
      song={song}
      address={address(song)}
      number={number}
      facts={order === 'key' || order === 'last settled' ? (facts?.[song.id] ?? null) : null}
      tending={tending && edits !== null}
      busy={copying !== null}
      onCopy={() => void copy(song)}
      onPutAway={(away) => putBy(song, away)}
    />
  );

  if (band.songs.length === 0) return <FirstSteps band={band} mayEdit={mayEdit} />;
  return (
    <>
      {hasMany && (
        // biome-ignore lint/a11y/noStaticElementInteractions: from the field the arrows and Enter go into the list
        <div
          className="flex flex-wrap items-end gap-x-8"
          onKeyDown={(event) => {
            if (event.target !== box.current) return;
            const [first] = inUse;
            if (event.key === 'ArrowDown') step(1);
            else if (event.key === 'Escape') setSearch('');
            else if (event.key === 'Enter' && first) router.push(address(first));
            else return;
            event.preventDefault();
          }}
        >
          <div className="min-w-48">
            <Field ref={box} label="Find a song ( / )" value={search} onChange={setSearch} most={80} />
          </div>
          <label className="plain my-4 font-semibold">
            Sorted by
            <select
              className="block min-h-(--touch) border-b border-edge bg-paper font-normal"
              value={order}
              onChange={(event) => {
                const chosen = SONG_ORDERS.find((one) => one === event.target.value);
                if (chosen) sortBy(chosen);
              }}
            >
              {SONG_ORDERS.map((one) => (
                <option key={one}>{one}</option>
              ))}
            </select>
          </label>
        </div>
      )}
      <p role="status" className={search === '' && said === '' ? 'sr-only' : 'aside'}>
        {search !== '' && `${found.length} of ${band.songs.length} songs. `}
        {said}
      </p>
      {problem && <ProblemNotice problem={problem} />}
      <div ref={list}>
        <ol className="-mt-2">{inUse.map((song, i) => row(song, i < 9 ? i + 1 : null))}</ol>
        {putAway.length > 0 && (
          <details open={search !== '' || tending || inUse.length === 0}>
            <summary className="plain flex min-h-(--touch) items-center">
              Put away: {putAway.length === 1 ? 'one song' : `${putAway.length} songs`}
            </summary>
            <ul>{putAway.map((song) => row(song, null))}</ul>
          </details>
        )}
      </div>
      {mayEdit && (
        <div className="flex flex-wrap gap-x-8">
          <ActionLink href={`/band/${band.id}/bring-in`} shortcut="b">
            Bring in a song
          </ActionLink>
          <Button
            shortcut="m"
            expanded={tending}
            disabled={edits === null}
            onPress={() => setTending(!tending)}
          >
            {tending ? 'Done' : 'Copy songs, or put them away'}
          </Button>
        </div>
      )}
    </>
  );
}
