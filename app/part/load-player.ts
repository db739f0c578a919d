import { headers } from 'next/headers';
import { fail, ok, type Result } from '../../lib/base';
import { pageData, type SongPage } from '../../lib/protocol';
import type { Player } from '../../lib/song';

/** What the address of a page for one player of a song holds. */
export interface PlayerPageProps {
  readonly params: Promise<{ bandId: string; songId: string; playerId: string }>;
}

interface PlayerPage {
  readonly songId: string;
  readonly player: Player;
  readonly initial: SongPage;
}

/** The song and the player that a page's address names, for whoever asks with this request's cookies. */
export async function loadPlayer({ params }: PlayerPageProps): Promise<Result<PlayerPage>> {
  const { bandId, songId, playerId } = await params;
  const page = await pageData().song(bandId, songId, (await headers()).get('cookie'));
  if (!page.ok) return page;
  const player = page.value.band.players.find(({ id }) => id === playerId);
  if (player === undefined)
    return fail(
      'this band has no such player',
      'in the address of this page',
      'open the song and choose a part from its head',
    );
  return ok({ songId, player, initial: page.value });
}

/** `Title: player`, with what the page shows of them. */
export const titleOf = ({ initial, player }: PlayerPage, shows = ''): string =>
  `${initial.song.title}: ${player.name}${shows}`;
