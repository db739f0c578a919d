import { granted, type PageResult } from '../../lib/protocol';
import { type SetSong, setSongOf } from '../../lib/sets';
import { RateLimit } from '../access';
import type { Clock } from '../ports';
import type { House } from './house';
import { type Call, plain, type Route } from './route';

/** All songs of a band as an evening sees them, as they are at this moment: length, key, tempo, who needs what. */
async function setSongs(
  house: Pick<House, 'band' | 'song'>,
  bandId: string,
  cookie: string | null,
): Promise<PageResult<{ readonly songs: readonly SetSong[] }>> {
  const page = await house.band(bandId, cookie);
  if (!page.ok) return page;
  const { band } = page.value;
  const songs: SetSong[] = [];
  for (const { id } of band.songs) {
    const read = await house.song(bandId, id, cookie);
    // A song that is gone counts for nothing.
    if (read.ok) songs.push(setSongOf(read.value.song, band.players));
    else if (read.error.code !== 'not found') return read;
  }
  return granted({ songs });
}

/** What a set's page asks while it is open, so that its clock follows songs that others change. */
export function eveningRoutes(house: House, clock: Clock): readonly Route[] {
  const asking = new RateLimit(120, 60, clock);
  return [
    {
      method: 'GET',
      path: ['bands', '*', 'set-songs'],
      rate: asking,
      answer: ({ request, parts }: Call) =>
        plain(setSongs(house, parts[0] ?? '', request.headers.cookie ?? null)),
    },
  ];
}
