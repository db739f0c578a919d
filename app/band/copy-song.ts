import { fail } from '../../lib/base';
import { readSong } from '../../lib/document';
import { songDocument } from '../../lib/protocol';
import type { Song } from '../../lib/song';
import { type ApiResult, ask } from '../hooks/api';
import { newId } from '../hooks/newId';
import { openDocument } from '../sync';

/** Makes a song of the band anew under another title, with all that is settled in it. Loaded when somebody copies. */
export async function copySong(
  bandId: string,
  songId: string,
  title: string,
): Promise<ApiResult<{ readonly songId: string }>> {
  const song = await songNow(bandId, songId);
  if (song === null)
    return fail(
      'the song could not be read',
      'between this device and Breathmark',
      'see that you are connected, then try again: nothing was copied',
    );
  return ask(`/api/bands/${bandId}/songs`, 'songMade', { song: { ...song, id: newId(), title } });
}

/** The song as it is at this moment, edits of this device included; null: it cannot be had. */
function songNow(bandId: string, songId: string): Promise<Song | null> {
  return new Promise((resolve) => {
    const document = openDocument(songDocument(bandId, songId), { onReplaced: () => {} });
    let stop = () => {};
    const look = () => {
      const { loaded, problem, state } = document.status.getSnapshot();
      if (!loaded && problem === null && state !== 'offline') return;
      stop();
      const song = loaded ? readSong(document.doc).song : null;
      document.destroy();
      resolve(song);
    };
    stop = document.status.subscribe(look);
    look();
  });
}
