'use client';

import { useEffect, useState } from 'react';
import { fail } from '../../lib/base';
import type { Player, Song } from '../../lib/song';
import type { BackupAnswer, BackupQuestion } from '../workers/backup';

interface Shown {
  readonly song: Song;
  readonly key: string;
  readonly answer: BackupAnswer;
}

/** A player's backup in a pass, worked out beside the page; undefined while it is being worked out. It is worked out anew when the song changes. */
export function useBackup(
  song: Song,
  players: readonly Player[],
  playerId: string,
  passId: string,
): BackupAnswer | undefined {
  const [shown, setShown] = useState<Shown | null>(null);
  const key = `${playerId} ${passId}`;
  useEffect(() => {
    const worker = new Worker(new URL('../workers/backup.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<BackupAnswer>) =>
      setShown({ song, key, answer: data }),
    );
    worker.addEventListener('error', () =>
      setShown({
        song,
        key,
        answer: fail('the backup could not be worked out', 'this device', 'close it and ask again'),
      }),
    );
    const question: BackupQuestion = { song, players, playerId, passId };
    worker.postMessage(question);
    return () => worker.terminate();
  }, [song, players, playerId, passId, key]);
  // What was worked out for the song as it was a moment ago stays in sight until the new one is there.
  return shown !== null && shown.key === key ? shown.answer : undefined;
}
