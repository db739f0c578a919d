import { itemAt, lastOf } from '../base';
import { type Band, type Hold, lastRemark, type SetList } from '../song';
import { barTicks, secondsOf } from '../time';
import { ORDER_WEIGHTS } from './costs';
import type { Evening, SetSong } from './types';

/** A song that is not at hand: it counts for nothing. */
const UNKNOWN: SetSong = {
  id: '',
  title: '',
  key: null,
  tempo: null,
  meter: { count: 4, unit: 4 },
  seconds: 0,
  leadSinger: null,
  needs: [],
  energy: null,
  shaky: false,
  talkSeconds: 0,
  place: null,
};

/**
 * A set of the band as an evening. Its songs go by their entries' ids, since a song may stand in it twice; what the band said about songs and
 * entries (strength, holds, talk, breaks, medleys, pairs) and after gigs (the last remark on a song says whether it is shaky) is in it. A
 * medley's link bars make the song before them longer. A song that stands twice is wanted apart from itself.
 *
 * @param songs as `setSongOf` gives them, by song id; one that is missing counts for nothing
 */
export function eveningOfSet(set: SetList, band: Band, songs: readonly SetSong[]): Evening {
  const known = new Map(songs.map((song) => [song.id, song]));
  const listed = new Map(band.songs.map((song) => [song.id, song]));
  const sets = setsOf(set);
  const inSet = set.entries.map((entry): SetSong => {
    const song = known.get(entry.songId) ?? UNKNOWN;
    const said = listed.get(entry.songId);
    const remark = lastRemark(band, entry.songId);
    const bars = secondsOf(barTicks(song.meter), song.tempo ?? 100) * (entry.linkBars ?? 0);
    return {
      ...song,
      id: entry.id,
      title: said?.title ?? song.title,
      seconds: song.seconds + bars,
      energy: said?.energy ?? song.energy,
      shaky: remark ? !remark.solid : song.shaky,
      talkSeconds: entry.talkSeconds,
      place: placeOfHold(entry.hold, sets),
    };
  });
  const pairs = (wanted: 'near' | 'apart') =>
    set.pairs.filter((pair) => pair.wanted === wanted).flatMap(({ songs: both }) => entryPairs(set, both));
  return {
    songs: inSet,
    sets,
    near: pairs('near'),
    apart: [...pairs('apart'), ...repeats(set)],
    joined: medleysOf(set),
    weights: ORDER_WEIGHTS,
    targetSeconds: set.targetSeconds,
  };
}

/** How many songs stand between breaks; a break after the last song is none. */
function setsOf({ entries }: SetList): number[] {
  const sets: number[] = [];
  let count = 0;
  entries.forEach(({ breakAfter }, i) => {
    count += 1;
    if (!breakAfter && i + 1 < entries.length) return;
    sets.push(count);
    count = 0;
  });
  return sets;
}

/** The place of a hold, from 0. Before the break: the first one; where there is none, the end. */
export function placeOfHold(hold: Hold | null, sets: readonly number[]): number | null {
  const count = sets.reduce((sum, each) => sum + each, 0);
  if (hold === null) return null;
  if (hold === 'first') return 0;
  if (hold === 'last') return count - 1;
  return hold === 'before the break' ? itemAt(sets, 0) - 1 : hold - 1;
}

/** A hold in words for a place, so that it stays meant when songs come and go. */
export function holdAtPlace(place: number, sets: readonly number[]): Hold {
  const count = sets.reduce((sum, each) => sum + each, 0);
  if (place === 0) return 'first';
  if (place === count - 1) return 'last';
  return sets.length > 1 && place === itemAt(sets, 0) - 1 ? 'before the break' : place + 1;
}

/** Runs of entries each linked to the next; nothing is linked over a break. */
function medleysOf({ entries }: SetList): string[][] {
  const medleys: string[][] = [];
  entries.forEach(({ id, linkBars, breakAfter }, i) => {
    const next = entries[i + 1];
    if (linkBars === null || breakAfter || !next) return;
    const last = medleys[medleys.length - 1];
    if (last && lastOf(last) === id) last.push(next.id);
    else medleys.push([id, next.id]);
  });
  return medleys;
}

/** A pair of songs as pairs of the entries that play them. */
function entryPairs({ entries }: SetList, [first, second]: readonly [string, string]) {
  const of = (song: string) => entries.filter(({ songId }) => songId === song).map(({ id }) => id);
  return of(first).flatMap((a) => of(second).map((b) => [a, b] as const));
}

/** Pairs of entries that play one song. */
function repeats({ entries }: SetList) {
  return entries.flatMap((a, i) =>
    entries.slice(i + 1).flatMap((b) => (a.songId === b.songId ? [[a.id, b.id] as const] : [])),
  );
}
