import type { Song } from '../../song';

const counted = (count: number, one: string, many: string): string => `${count} ${count === 1 ? one : many}`;

/** What was settled in a song that a format without players cannot hold, in a sentence. */
export function settledInWords({ settled }: Song): readonly string[] {
  const of = (kind: string) => settled.filter(({ holding }) => holding.kind === kind).length;
  const parts = [
    of('fill') > 0 ? counted(of('fill'), 'settled fill', 'settled fills') : '',
    of('ad lib') > 0 ? counted(of('ad lib'), 'ad lib', 'ad libs') : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? [] : [`what players were given: ${parts.join(' and ')}`];
}

/** What a band says about a song, which no format but its own holds, in a sentence. */
export function talkInWords(song: Song): readonly string[] {
  const { proposals, comments, settled } = song;
  const open = settled.filter(({ holding }) => holding.kind === 'left open').length;
  const parts = [
    proposals.length > 0 ? counted(proposals.length, 'proposal', 'proposals') : '',
    comments.length > 0 ? counted(comments.length, 'comment', 'comments') : '',
    open > 0 ? counted(open, 'space left open', 'spaces left open') : '',
    song.start.playerId !== null || song.start.with !== '' ? 'who starts' : '',
    song.ending.kind !== null || song.ending.note !== '' ? 'how it ends' : '',
  ].filter((part) => part !== '');
  return parts.length === 0 ? [] : [`what the band agreed beside the notes: ${parts.join(', ')}`];
}
