import type { LeftBehind } from '../../lib/exchange';
import { songsInWords } from '../ui/said';
import { inWords } from './words';

const many = (count: number, one: string, more: string): string =>
  count === 0 ? '' : count === 1 ? `one ${one}` : `${count} ${more}`;

/** What is not taken along of songs, since whose it was is nobody of this band: sentences, none where all is. */
export function leftInWords(left: LeftBehind): readonly string[] {
  const { spaces, proposals, votes, roles, settings, singers, unsigned } = left;
  const out = [
    many(proposals, 'idea put to the band', 'ideas put to the band'),
    many(votes, 'vote', 'votes'),
    many(roles, 'role', 'roles'),
    many(settings, 'instrument with its capo', 'instruments with their capos'),
    many(singers, 'word on who sings, starts or ends it', 'words on who sings, starts or ends it'),
  ].filter(Boolean);
  const count = proposals + votes + roles + settings + singers;
  return [
    spaces === 1
      ? 'One settled space is unclaimed again.'
      : spaces > 1 && `${spaces} settled spaces are unclaimed again.`,
    out.length > 0 &&
      `Left out: ${inWords(out)}, of ${count === 1 ? 'somebody' : 'people'} who ${count === 1 ? 'is' : 'are'} nobody of ours.`,
    unsigned === 1
      ? 'One thing that was said stays, and no longer says who said it.'
      : unsigned > 1 && `${unsigned} things that were said stay, and no longer say who said them.`,
  ].filter((sentence) => sentence !== false);
}

/** Of a set list: how many songs it has, and how many of them do not come along. */
export function setInWords(songs: number, missing: number): string {
  if (missing === 0) return songsInWords(songs);
  if (missing === songs) return `${songsInWords(songs)}, of which none is ticked`;
  return `${songsInWords(songs)}, ${missing} of them left out, since ${missing === 1 ? 'it does' : 'they do'} not come in`;
}

export const CANNOT_MIX = {
  what: 'a band file holds many songs, and people: it is brought in by itself',
  mend: 'choose it alone; you then say which of its songs come in, and who of its players is who',
};
