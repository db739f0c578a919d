'use client';

import { useMemo, useState } from 'react';
import {
  addLeft,
  likelyWho,
  NOTHING_LEFT,
  type SongForBand,
  songForBand,
  songsForBand,
  type Who,
} from '../../lib/exchange';
import type { Band, SetList } from '../../lib/song';
import { newId } from '../hooks/newId';
import { Button } from '../ui/Button';
import { songsInWords } from '../ui/said';
import type { BandFileRead } from '../workers/read-band-messages';
import { leftInWords, setInWords } from './from-file-words';
import { playsAndSings } from './words';

const TICK = 'plain flex min-h-(--touch) items-center gap-2';

/** What of a band file comes into the band, and who of its players is who there. */
export function BandFileChoice({
  read,
  band,
  bringIn,
  forget,
}: {
  readonly read: BandFileRead;
  /** The band that it comes into. */
  readonly band: Band;
  readonly bringIn: (songs: readonly SongForBand[], sets: readonly SetList[]) => void;
  readonly forget: () => void;
}) {
  const { songs, sets, players, strangers } = read;
  const [ticked, setTicked] = useState<ReadonlySet<string>>(() => new Set(songs.map(({ song }) => song.id)));
  const [wanted, setWanted] = useState<ReadonlySet<string>>(new Set());
  const [chosen, setChosen] = useState<ReadonlyMap<string, string | null>>(() =>
    likelyWho(players, band.players),
  );

  const coming = useMemo(() => songs.filter(({ song }) => ticked.has(song.id)), [songs, ticked]);
  const who = useMemo((): Who => {
    const ours = new Set(band.players.map(({ id }) => id));
    const inFile = new Set(players.map(({ id }) => id));
    // Who is in no list of players any more is who they were in a file of this very band, and else nobody.
    return (id) => {
      const is = inFile.has(id) ? (chosen.get(id) ?? null) : id;
      return is !== null && ours.has(is) ? is : null;
    };
  }, [band.players, players, chosen]);
  const left = useMemo(
    () => coming.map(({ song }) => songForBand(song, song.id, who).left).reduce(addLeft, NOTHING_LEFT),
    [coming, who],
  );
  const titles = useMemo(() => new Set(band.songs.map(({ title }) => title.trim())), [band.songs]);
  const lost = strangers.filter((id) => who(id) === null).length;
  const isAll = ticked.size === songs.length;

  return (
    <>
      <fieldset className="mb-4">
        <legend className="plain font-semibold">Which songs</legend>
        <Button
          shortcut="a"
          onPress={() => setTicked(isAll ? new Set() : new Set(songs.map(({ song }) => song.id)))}
        >
          {isAll ? 'Tick none' : `Tick all ${songs.length}`}
        </Button>
        <ul className="sm:columns-2">
          {songs.map(({ song, entry }) => (
            <li key={song.id} className="break-inside-avoid">
              <label className={TICK}>
                <input
                  type="checkbox"
                  checked={ticked.has(song.id)}
                  onChange={() => setTicked(toggled(ticked, song.id))}
                />
                <span>
                  {song.title || 'A song without a title'}
                  {titles.has(song.title.trim()) && (
                    <span className="aside">
                      {' '}
                      (the band has a song of this title; this comes in beside it)
                    </span>
                  )}
                  {entry.archived && <span className="aside"> (put away)</span>}
                </span>
              </label>
            </li>
          ))}
        </ul>
      </fieldset>

      {players.length > 0 && (
        <fieldset className="mb-4">
          <legend className="plain font-semibold">Who is who</legend>
          <ul>
            {players.map((player) => (
              <li key={player.id}>
                <label className="plain flex min-h-(--touch) flex-wrap items-center gap-x-3">
                  <span>
                    {player.name} of the file ({playsAndSings(player)}) is
                  </span>
                  <select
                    className="min-h-(--touch) max-w-full border-b border-edge bg-paper"
                    value={chosen.get(player.id) ?? ''}
                    onChange={({ target }) => setChosen(new Map(chosen).set(player.id, target.value || null))}
                  >
                    <option value="">nobody of ours</option>
                    {band.players.map((ours) => (
                      <option key={ours.id} value={ours.id}>
                        {ours.name}
                        {ours.instruments[0] === undefined ? '' : `, ${ours.instruments[0]}`}
                      </option>
                    ))}
                  </select>
                </label>
              </li>
            ))}
          </ul>
        </fieldset>
      )}

      {sets.length > 0 && (
        <fieldset className="mb-4">
          <legend className="plain font-semibold">Which set lists, with the songs that come in</legend>
          <ul>
            {sets.map((set) => {
              const missing = set.entries.filter(({ songId }) => !ticked.has(songId)).length;
              return (
                <li key={set.id}>
                  <label className={TICK}>
                    <input
                      type="checkbox"
                      checked={wanted.has(set.id)}
                      onChange={() => setWanted(toggled(wanted, set.id))}
                    />
                    <span>
                      {set.name}: {setInWords(set.entries.length, missing)}
                      {band.sets.some(({ name }) => name === set.name) && (
                        <span className="aside">
                          {' '}
                          (the band has a set list of this name; this comes in beside it)
                        </span>
                      )}
                    </span>
                  </label>
                </li>
              );
            })}
          </ul>
        </fieldset>
      )}

      <div role="status" className="max-w-prose">
        {leftInWords(left).map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
        {lost > 0 && (
          <p>
            The songs name {lost === 1 ? 'one person' : `${lost} people`} whom the file’s list of players no
            longer has: they are nobody of ours.
          </p>
        )}
      </div>
      <p className="aside my-3 max-w-prose">
        Nothing that the band has is changed. The file’s players, figures, remarks and states that were kept
        under a name do not come in.
      </p>
      <div className="flex flex-wrap gap-x-8">
        <Button
          look="main"
          shortcut="mod+Enter"
          disabled={coming.length === 0}
          onPress={() =>
            bringIn(
              songsForBand(coming, who, newId),
              sets.filter(({ id }) => wanted.has(id)),
            )
          }
        >
          Bring in {songsInWords(coming.length)}
        </Button>
        <Button shortcut="x" onPress={forget}>
          Begin again
        </Button>
      </div>
    </>
  );
}

function toggled(set: ReadonlySet<string>, id: string): ReadonlySet<string> {
  const next = new Set(set);
  if (!next.delete(id)) next.add(id);
  return next;
}
