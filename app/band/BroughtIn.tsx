'use client';

import { ActionLink, Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import { songsInWords } from '../ui/said';
import type { Bringing } from './useBringing';

/** What has become of a band file's songs: how far it is, what stands in the way, and the way to each that is the band's now. */
export function BroughtIn({
  bandId,
  now,
  goOn,
  stop,
  leaveOut,
  forget,
}: {
  readonly bandId: string;
  readonly now: Bringing;
  readonly goOn: () => void;
  readonly stop: () => void;
  readonly leaveOut: (which: 'next' | 'rest') => void;
  readonly forget: () => void;
}) {
  const { state, songs, sets, made, without, problem } = now;
  const isAtWork = state === 'bringing' || state === 'waiting';
  const next = songs.find(({ from }) => !made.has(from) && !without.has(from));
  return (
    <>
      <p role="status">{statusOf(now)}</p>
      {isAtWork && (
        <>
          <progress aria-label="Songs brought in" value={made.size + without.size} max={songs.length} />
          <div>
            <Button shortcut="Escape" onPress={stop}>
              Stop
            </Button>
          </div>
        </>
      )}
      {problem && (
        <ProblemNotice
          problem={
            state === 'halted' && next
              ? { ...problem, where: `“${next.song.title}”, ${problem.where}` }
              : problem
          }
          kept={
            made.size === 0
              ? 'nothing was brought in yet'
              : `${songsInWords(made.size)} of the file ${made.size === 1 ? 'is' : 'are'} the band’s now`
          }
        />
      )}
      {state === 'halted' && (
        <div className="flex flex-wrap gap-x-8">
          <Button look="main" shortcut="mod+Enter" onPress={goOn}>
            {problem ? 'Try it again' : 'Go on'}
          </Button>
          {problem && next && (
            <Button shortcut="n" onPress={() => leaveOut('next')}>
              Go on without “{next.song.title}”
            </Button>
          )}
          <Button shortcut="l" onPress={() => leaveOut('rest')}>
            Leave out what is not here yet
          </Button>
        </div>
      )}
      <ol className="sm:columns-2">
        {songs
          .filter(({ from }) => made.has(from))
          .map(({ song }) => (
            <li key={song.id} className="break-inside-avoid">
              <ActionLink href={`/band/${bandId}/song/${song.id}`}>
                {song.title || 'A song without a title'}
              </ActionLink>
            </li>
          ))}
      </ol>
      {state === 'done' && (
        <div className="flex flex-wrap gap-x-8">
          <ActionLink look="main" shortcut="mod+Enter" href={`/band/${bandId}`}>
            {sets.length > 0 && made.size > 0 && !problem
              ? 'To the band, its songs and set lists'
              : 'To the band'}
          </ActionLink>
          <Button shortcut="x" onPress={forget}>
            Begin again
          </Button>
        </div>
      )}
    </>
  );
}

function statusOf({ state, songs, sets, made, without, problem }: Bringing): string {
  const count =
    made.size === 1 ? 'One song is the band’s now' : `${made.size || 'No'} songs are the band’s now`;
  switch (state) {
    case 'bringing':
      return `Bringing them in, ${made.size} of ${songs.length} done …`;
    case 'waiting':
      return `Bringing them in, ${made.size} of ${songs.length} done; the server takes so many a minute, and it goes on by itself …`;
    case 'halted':
      return problem ? '' : `Stopped. ${count}, of ${songs.length}.`;
    case 'listing':
      return `${count}. The rest comes when the band’s list has heard of them …`;
    case 'done': {
      const setsToo =
        sets.length === 0 || made.size === 0 || problem !== null
          ? ''
          : sets.length === 1
            ? ', and the set list'
            : `, and ${sets.length} set lists`;
      return `${count}${setsToo}.${without.size > 0 ? ` Left out: ${songsInWords(without.size)}.` : ''}`;
    }
  }
}
