import type { Pass, Section, Song } from '../../lib/song';

/**
 * A pass of a section put in at a place of the order: sung with the words that come next after those that are sung before it (the last ones
 * again, where there are no more), everybody as in the nearest pass of that section, the one before it first. A section that nobody
 * sings anywhere stays so, and one without words that is played nowhere yet.
 *
 * @param at where it is to stand among the passes, from 0
 * @param stanzas how many stanzas of words the section has
 */
export function newPass(song: Song, section: Section, at: number, stanzas: number): Omit<Pass, 'id'> {
  const isOwn = ({ sectionId }: Pass) => sectionId === section.id;
  const before = song.passes.slice(0, at).filter(isOwn);
  const like = before.at(-1) ?? song.passes.slice(at).find(isOwn) ?? null;
  const sung = before.findLast(({ stanza }) => stanza !== null)?.stanza ?? null;
  const isSilent =
    like === null ? stanzas === 0 : song.passes.filter(isOwn).every(({ stanza }) => stanza === null);
  const next = sung === null ? 1 : Math.min(sung + 1, Math.max(1, stanzas));
  const { roles, ending } = like ?? { roles: {}, ending: 1 };
  return { sectionId: section.id, stanza: isSilent ? null : next, ending, name: '', roles };
}
