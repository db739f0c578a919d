import { itemAt, type Reason } from '../base';
import { keyName } from '../theory';
import { LATER_SET_RISE, RISE_AND_FALL, STRONG_ENERGY } from './costs';
import { type NameOf, sameKey, sameTempo } from './transition';
import type { Evening, SetSong, Transition } from './types';

/** Costs are whole tenths of a second's worth, so that sums of them are exact. Weights in reasons are these, over ten. */
export const TENTHS = 10;

export const tenths = (seconds: number): number => Math.round(seconds * TENTHS);

/** What two neighbours cost beside one another; the terms that are not 0. */
export function neighbourTerms(
  evening: Evening,
  from: SetSong,
  to: SetSong,
  { waitingSeconds, effortSeconds, steps }: Transition,
  nameOf: NameOf = (id) => id,
): Reason[] {
  const { weights } = evening;
  const busy = steps.join('; ');
  const singer = nameOf(to.leadSinger ?? '');
  const running = from.leadSinger !== null && from.leadSinger === to.leadSinger;
  const strong = [from, to].every(({ energy }) => energy !== null && energy >= STRONG_ENERGY);
  const alike = sameTempo(from, to);
  return terms([
    ['waiting', weights.waiting * waitingSeconds, `the crowd waits ${round(waitingSeconds)} s: ${busy}`],
    ['effort', weights.effort * effortSeconds, `${round(effortSeconds)} s of busy hands: ${busy}`],
    ['sameKey', sameKey(from, to) ? weights.sameKey : 0, to.key ? `both in ${keyName(to.key)}` : ''],
    ['sameTempo', alike * weights.sameTempo, alike > 0.99 ? 'both at one tempo' : 'nearly one tempo'],
    ['sameSinger', running ? weights.sameSinger : 0, `${singer} leads both`],
    [
      'voiceRest',
      running && strong ? weights.voiceRest : 0,
      `two strong songs running for ${singer}'s voice`,
    ],
    ['apart', isPair(evening.apart, from, to) ? weights.apart : 0, 'wanted apart'],
  ]);
}

/** What a song costs at its place, for the strength that is wished there. */
export function placeTerms(
  { weights }: Evening,
  song: SetSong,
  opens: boolean,
  wish: number | null,
): Reason[] {
  const off = wish === null || song.energy === null ? 0 : Math.abs(song.energy - wish);
  const way = wish !== null && (song.energy ?? 0) > wish ? 'stronger' : 'quieter';
  return terms([
    ['energy', off * weights.energy, `${way} than the evening's rise and fall asks here`],
    ['shakyFirst', song.shaky && opens ? weights.shakyFirst : 0, 'shaky, and opens a set'],
  ]);
}

export function nearTerm({ weights }: Evening, a: SetSong, b: SetSong): Reason[] {
  return terms([['near', weights.near, `${a.title} and ${b.title} are wanted near each other`]]);
}

function terms(rows: readonly (readonly [string, number, string])[]): Reason[] {
  return rows
    .map(([rule, weight, detail]) => ({ rule, weight: tenths(weight) / TENTHS, detail }))
    .filter(({ weight }) => weight > 0);
}

const round = (seconds: number): number => Math.round(seconds * 10) / 10;

export function isPair(
  pairs: readonly (readonly [string, string])[],
  a: { readonly id: string },
  b: { readonly id: string },
): boolean {
  return pairs.some(([one, other]) => (one === a.id && other === b.id) || (one === b.id && other === a.id));
}

/**
 * The strength wished at each place of an evening; null where no song's is said.
 *
 * Model: the songs' own energies are dealt out, the strongest where the evening's rise and fall (`RISE_AND_FALL`, over
 * each set, later sets a little higher) stands highest. So there is always an order of energies that costs nothing, and songs
 * that are all alike cost nothing in any order. Where some songs' energy is not said, the known ones are spread evenly over the ranks.
 */
export function wishedEnergies(evening: Evening): readonly (number | null)[] {
  const heights = evening.sets.flatMap((count, set) =>
    Array.from(
      { length: count },
      (_, at) => heightAt(count > 1 ? at / (count - 1) : 1) + set * LATER_SET_RISE,
    ),
  );
  const known = evening.songs
    .flatMap(({ energy }) => (energy === null ? [] : [energy]))
    .sort((a, b) => a - b);
  if (known.length === 0) return heights.map(() => null);
  const ranked = heights.map((height, place) => ({ height, place }));
  ranked.sort((a, b) => a.height - b.height || a.place - b.place);
  const wishes: (number | null)[] = heights.map(() => null);
  ranked.forEach(({ place }, rank) => {
    wishes[place] = itemAt(known, Math.floor((rank * known.length) / ranked.length));
  });
  return wishes;
}

/** The curve between its points, in straight lines. */
function heightAt(share: number): number {
  for (let i = 1; i < RISE_AND_FALL.length; i++) {
    const [from, low] = itemAt(RISE_AND_FALL, i - 1);
    const [to, high] = itemAt(RISE_AND_FALL, i);
    if (share <= to) return low + ((high - low) * (share - from)) / (to - from);
  }
  return itemAt(itemAt(RISE_AND_FALL, RISE_AND_FALL.length - 1), 1);
}
