import {
  type Arrangement,
  barsInWords,
  cuesOf,
  type Line,
  type PassLines,
  placeInWords,
} from '../../lib/parts';
import { samePlace } from '../../lib/song';
import type { Shown, Sight, Whereabouts } from '../sync';

/** Somebody whom one can go along with. */
export interface Leader {
  readonly playerId: string;
  readonly name: string;
}

/** What of a board is to be seen: a space that is open, and the line at the top. */
export interface Target {
  readonly spaceId: string | null;
  /** By its key; null: there is no such line any more. */
  readonly line: string | null;
}

/** The players among the others, each once, by name; not oneself at another window, nor anybody before their page has said who they are. */
export function leadersOf(others: readonly Whereabouts[], you: string | null): readonly Leader[] {
  const names = new Map<string, string>();
  for (const { playerId, name } of others)
    if (playerId !== null && playerId !== you && name !== '' && !names.has(playerId))
      names.set(playerId, name);
  return [...names]
    .map(([playerId, name]) => ({ playerId, name }))
    .sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : a.playerId < b.playerId ? -1 : 1));
}

/** Whom the key goes on to: the first, then each after the other, round and round. Null: nobody is there. */
export function nextLeader(leaders: readonly Leader[], now: string | null): Leader | null {
  const at = leaders.findIndex(({ playerId }) => playerId === now);
  return leaders[(at + 1) % Math.max(1, leaders.length)] ?? null;
}

/** Where a player is; the window that says where it looks, where they have more than one. Null: they are not here. */
export function whereaboutsOf(others: readonly Whereabouts[], playerId: string | null): Whereabouts | null {
  const theirs = playerId === null ? [] : others.filter((one) => one.playerId === playerId);
  return (
    theirs.find(({ place }) => place !== null) ??
    theirs.find(({ sight }) => sight !== null) ??
    theirs[0] ??
    null
  );
}

/** Where on this board that is. A line that is gone gives its pass's first. */
export function targetOf(
  { spaces, passes }: Pick<Arrangement, 'spaces' | 'passes'>,
  { place, sight }: Pick<Whereabouts, 'place' | 'sight'>,
): Target {
  const space = place && (spaces.find((one) => samePlace(one.place, place)) ?? null);
  const seen = sight && lineOf(passes, sight);
  const own = space && lineWith(passes, space.startTick);
  return { spaceId: space?.id ?? null, line: (seen ?? own)?.key ?? null };
}

/** The key of the line in which a space begins. */
export function lineOfSpace(
  { spaces, passes }: Pick<Arrangement, 'spaces' | 'passes'>,
  spaceId: string,
): string | null {
  const space = spaces.find(({ id }) => id === spaceId);
  return (space && lineWith(passes, space.startTick)?.key) ?? null;
}

/** Where a line is, for the others; null: there is no such line. */
export function sightOf(passes: readonly PassLines[], lineKey: string): Sight | null {
  const pass = passes.find(({ lines }) => lines.some(({ key }) => key === lineKey));
  return pass ? { pass: idOf(pass), line: lineKey } : null;
}

/** `Verse 2, after “home”, bar 12`; `Verse 2, “Down by the weir”`. */
export function whereInWords(arrangement: Arrangement, names: readonly string[], target: Target): string {
  const { spaces, passes, timeline } = arrangement;
  const space = spaces.find(({ id }) => id === target.spaceId);
  const line = passes.flatMap(({ lines }) => lines).find(({ key }) => key === target.line);
  const tick = space?.startTick ?? line?.startTick;
  if (tick === undefined) return 'a place that is not in the song any more';
  const at = passes.findIndex(({ startTick, endTick }) => tick >= startTick && tick < endTick);
  const name = names[at] ?? '';
  const bar = barsInWords(timeline.barAt(tick).number, timeline.barAt(tick).number);
  const place = space
    ? placeInWords(space, cuesOf(arrangement, space).before)
    : line && line.words !== ''
      ? `“${line.words.split(' ').slice(0, WORDS).join(' ')}”`
      : '';
  const lower = space ? place.charAt(0).toLowerCase() + place.slice(1) : place;
  return [name, lower, bar].filter((one) => one !== '').join(', ');
}

/** As many words of a line as tell which it is. */
const WORDS = 4;

/** What of each window was shown before: what stood there when one came is not news. */
export type SeenShows = ReadonlyMap<number, number>;

/** Places that are shown since; a window that was not there before has shown nothing yet. */
export function newlyShown(
  seen: SeenShows,
  others: readonly Whereabouts[],
): { readonly seen: SeenShows; readonly news: readonly (Whereabouts & { readonly shown: Shown })[] } {
  const next = new Map(seen);
  const news: (Whereabouts & { readonly shown: Shown })[] = [];
  for (const one of others) {
    const { windowId, shown } = one;
    const before = seen.get(windowId);
    const nth = shown?.nth ?? 0;
    if (shown !== null && before !== undefined && nth > before) news.push({ ...one, shown });
    next.set(windowId, Math.max(before ?? 0, nth));
  }
  return { seen: next, news };
}

const idOf = (pass: PassLines): string => pass.passId ?? pass.sectionId;

function lineOf(passes: readonly PassLines[], sight: Sight): Line | null {
  const pass = passes.find((one) => idOf(one) === sight.pass);
  return pass?.lines.find(({ key }) => key === sight.line) ?? pass?.lines[0] ?? null;
}

const lineWith = (passes: readonly PassLines[], tick: number): Line | null =>
  passes
    .flatMap(({ lines }) => lines)
    .find(({ startTick, endTick }) => tick >= startTick && tick < endTick) ?? null;
