import type { Result } from '../../lib/base';
import { arrange, type BackupInPass, backupInPass } from '../../lib/parts';
import type { Player, Song } from '../../lib/song';

/** What the page asks: what one player plays behind the singer in one pass. To stop, it ends the worker. */
export interface BackupQuestion {
  readonly song: Song;
  readonly players: readonly Player[];
  readonly playerId: string;
  readonly passId: string;
}

/** Null: nothing, since they have the break, lay out, or have no instrument. */
export type BackupAnswer = Result<BackupInPass> | null;

addEventListener('message', ({ data }: MessageEvent<BackupQuestion>) => {
  const player = data.players.find(({ id }) => id === data.playerId);
  const answer: BackupAnswer = player
    ? backupInPass(arrange(data.song), { players: data.players }, player, data.passId)
    : null;
  postMessage(answer);
});
