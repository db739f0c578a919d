import { fail, itemAt, ok, type Result } from '../base';
import type { Evening } from './types';

/** More songs than this in one evening are refused: their tables would fill the memory of a small machine. */
export const MOST_SONGS = 200;

/** The songs that are held, by place from 0, each by its number in the evening's list; or why the evening cannot be put in order. */
export function heldPlaces(evening: Evening): Result<ReadonlyMap<number, number>> {
  const { songs, sets } = evening;
  if (songs.length === 0) return fail('the set holds no songs', 'songs', 'put songs into it first');
  if (songs.length > MOST_SONGS) {
    const mend = `put at most ${MOST_SONGS} songs in order at once`;
    return fail(`the set holds ${songs.length} songs`, 'songs', mend);
  }
  const wanted = sets.reduce((sum, count) => sum + count, 0);
  if (wanted !== songs.length || sets.some((count) => count < 1)) {
    return fail(
      `the sets hold ${wanted} songs, and the evening has ${songs.length}`,
      'sets',
      'let the sets hold as many songs as there are',
    );
  }
  const pairs = pairsProblem(evening);
  if (!pairs.ok) return pairs;
  const held = new Map<number, number>();
  for (const [number, { title, place }] of songs.entries()) {
    if (place === null) continue;
    if (!Number.isInteger(place) || place < 0 || place >= songs.length) {
      return fail(
        `'${title}' is held at place ${place + 1}, and there are ${songs.length}`,
        `the song '${title}'`,
        `hold it at a place from 1 to ${songs.length}`,
      );
    }
    const other = held.get(place);
    if (other !== undefined) {
      return fail(
        `'${itemAt(songs, other).title}' and '${title}' are both held at place ${place + 1}`,
        `the song '${title}'`,
        'let one of the two go',
      );
    }
    held.set(place, number);
  }
  return ok(held);
}

function pairsProblem({ songs, near, apart, joined }: Evening): Result<null> {
  const ids = new Set(songs.map(({ id }) => id));
  const lists = { near, apart, joined };
  for (const [name, groups] of Object.entries(lists)) {
    for (const group of groups) {
      const unknown = group.find((id) => !ids.has(id));
      if (unknown !== undefined)
        return fail(`there is no song '${unknown}'`, name, 'name songs by their ids in this set');
      if (new Set(group).size < group.length)
        return fail(`'${itemAt(group, 0)}' is named with itself`, name, 'name different songs');
    }
  }
  const followed = new Set<string>();
  const following = new Set<string>();
  for (const medley of joined) {
    for (let i = 1; i < medley.length; i++) {
      const [from, to] = [itemAt(medley, i - 1), itemAt(medley, i)];
      const twice = followed.has(from) ? from : following.has(to) ? to : null;
      if (twice !== null)
        return fail(`'${twice}' stands in two medleys`, 'joined', 'write them as one medley, or let one go');
      followed.add(from);
      following.add(to);
    }
  }
  return ok(null);
}
