import { itemAt, lastOf } from '../base';
import type { Song } from '../song';
import { beatStrength, beatTicks, type Ticks } from '../time';
import { CHORD_COSTS as COSTS } from './costs';
import { barStart, beatAt } from './grid';
import type { LaidLine } from './lay';
import { type ChordMove, placeIn, takenLines } from './plan';
import type { TapSheet } from './sheet';
import type { TapBar } from './types';

/** A chord's place, from the pass's start. */
export interface ChordAt {
  readonly id: string;
  readonly tick: Ticks;
}

/** A syllable that chords stand over: where it was when they were put there, and where it is sung. */
export interface Anchor {
  readonly was: Ticks;
  readonly is: Ticks;
  readonly startsLine: boolean;
}

/** What the places of a pass's chords are found from. */
export interface ChordsInput {
  readonly chords: readonly ChordAt[];
  /** In order of time, before as after. */
  readonly anchors: readonly Anchor[];
  readonly bars: readonly TapBar[];
}

/** A place where a chord could stand. */
interface Place {
  readonly tick: Ticks;
  /** From its bar's downbeat. */
  readonly inBar: Ticks;
  readonly strength: number;
}

/** Chords that stand together, with where their words are sung, and what it costs them to be a beat away from there. */
interface Group {
  readonly ids: readonly string[];
  readonly own: Place;
  readonly target: number;
  readonly perBeat: number;
  readonly places: readonly Place[];
}

/**
 * The chords of a pass once its syllables stand elsewhere: each with the words that it stood over. The target of a chord over a syllable is
 * the syllable's new place; another keeps its distance from the syllable before it, or less where the time to the next one has become less (after the last
 * syllable: the time from line to line); none lies outside the pass. Chords before the first syllable stay.
 *
 * Model: of all rising places the ones with the least sum, in beats, of
 * - the way from the target, by `CHORD_COSTS.away` weightier for a syllable on a beat, and the less the further the chord stood from any syllable;
 * - `CHORD_COSTS` for a place in the bar that is weaker than the one it had;
 * - `CHORD_COSTS.otherPlace` where it and the chord before it stood at one place of their bars, and no longer do: chords mostly last whole bars.
 * Places are the beats of the bars (and as far between beats as the chord stood) within `CHORD_COSTS.reach` bars of the target, and where it
 * stood. Exact, by dynamic programming over chords and places; O(chords × places in reach²). Where no syllable has moved, no chord does. The
 * tests hold it against every way there is.
 *
 * @returns only the chords that move
 */
export function chordsAlong(input: ChordsInput): readonly ChordAt[] {
  const groups = groupsOf(input);
  if (groups.length === 0) return [];
  /** By group and place: the least cost up to there, and the place of the group before. */
  let costs: readonly number[] = [];
  const backs: number[][] = [];
  groups.forEach((group, g) => {
    const before = groups[g - 1];
    const own: number[] = [];
    const back: number[] = [];
    for (const place of group.places) {
      let least = before ? Infinity : 0;
      let from = -1;
      before?.places.forEach((earlier, k) => {
        if (earlier.tick >= place.tick) return;
        const cost = itemAt(costs, k) + togetherCost(before, group, earlier, place);
        if (cost < least) {
          least = cost;
          from = k;
        }
      });
      own.push(least + placeCost(input.bars, group, place));
      back.push(from);
    }
    costs = own;
    backs.push(back);
  });
  let at = costs.indexOf(Math.min(...costs));
  const moved: ChordAt[] = [];
  for (let g = groups.length - 1; g >= 0; g--) {
    const { ids, own, places } = itemAt(groups, g);
    const { tick } = itemAt(places, at);
    if (tick !== own.tick) for (const id of ids) moved.push({ id, tick });
    at = itemAt(itemAt(backs, g), at);
  }
  return moved.reverse();
}

/** The chords of a song that move with the lines of one of its passes: see `chordsAlong`. */
export function chordsWith(song: Song, sheet: TapSheet, lines: readonly LaidLine[]): readonly ChordMove[] {
  const starts = new Map(sheet.bars.map(({ id, startTick }) => [id, startTick]));
  const chords = song.chords.flatMap(({ id, barId, offset }) => {
    const start = starts.get(barId);
    return start === undefined ? [] : [{ id, tick: start + offset }];
  });
  const moved = chordsAlong({ chords, anchors: anchorsOf(sheet, lines), bars: sheet.bars });
  return moved.map(({ id, tick }) => ({ id, ...placeIn(sheet, tick) }));
}

/** What stands over the lines of a sheet: its syllables where they were, and where they are laid. */
function anchorsOf(sheet: TapSheet, lines: readonly LaidLine[]): readonly Anchor[] {
  const taken = takenLines(sheet, lines);
  return sheet.lines.flatMap(({ syllables }, n) =>
    syllables.flatMap(({ tick }, i): readonly Anchor[] => {
      const laid = taken[n]?.[i];
      return laid ? [{ was: tick, is: laid.tick, startsLine: i === 0 }] : [];
    }),
  );
}

const placeCost = (bars: readonly TapBar[], group: Group, place: Place): number =>
  (group.perBeat * Math.abs(place.tick - group.target)) / beatAt(bars, place.tick) +
  Math.max(0, place.strength - group.own.strength);

function togetherCost(before: Group, group: Group, earlier: Place, place: Place): number {
  const was = before.own.inBar === group.own.inBar;
  return was && earlier.inBar !== place.inBar ? COSTS.otherPlace : 0;
}

function groupsOf({ chords, anchors, bars }: ChordsInput): readonly Group[] {
  const byTick = new Map<Ticks, string[]>();
  for (const { id, tick } of chords) {
    const there = byTick.get(tick);
    if (there) there.push(id);
    else byTick.set(tick, [id]);
  }
  const rising = anchors.filter(({ was, is }, i) => {
    const before = anchors[i - 1];
    return !before || (before.was < was && before.is < is);
  });
  const first = rising[0];
  const beats = beatsOf(bars);
  return [...byTick]
    .sort((a, b) => a[0] - b[0])
    .map(([tick, ids]): Group => {
      const own = placeAt(bars, tick);
      const isFixed = !first || tick < first.was;
      const { target, perBeat } = isFixed ? { target: tick, perBeat: 0 } : targetOf(rising, bars, tick);
      const places = isFixed ? [own] : placesNear(bars, beats, own, target);
      return { ids, own, target, perBeat, places };
    });
}

interface Target {
  readonly target: number;
  readonly perBeat: number;
}

/** Where the words under a chord are sung, and what it costs to be a beat away from there. */
function targetOf(anchors: readonly Anchor[], bars: readonly TapBar[], tick: Ticks): Target {
  const next = anchors.find(({ was }) => was >= tick);
  const before = anchors.findLast(({ was }) => was <= tick) ?? itemAt(anchors, 0);
  const stretch = next ? (next.is - before.is) / (next.was - before.was) : stretchOf(anchors);
  const behind = tick - before.was;
  const target = before.is + (behind === 0 ? 0 : behind * Math.min(1, stretch));
  const away = Math.min(behind, next ? next.was - tick : Infinity) / beatAt(bars, tick);
  const isOnBeat = placeAt(bars, before.is).strength <= COSTS.weaker[2];
  return {
    target: Math.max(0, Math.min(target, lastOf(bars).endTick)),
    perBeat: (isOnBeat ? COSTS.away.onBeat : COSTS.away.between) / (1 + away),
  };
}

/** How much longer the lines have become, from the first one's beginning to the last one's; 1 where there is only one. */
function stretchOf(anchors: readonly Anchor[]): number {
  const starts = anchors.filter(({ startsLine }) => startsLine);
  const first = starts[0];
  if (!first || starts.length < 2) return 1;
  const last = lastOf(starts);
  return (last.is - first.is) / (last.was - first.was);
}

function placesNear(
  bars: readonly TapBar[],
  beats: readonly Place[],
  own: Place,
  target: number,
): readonly Place[] {
  const bar = barAt(bars, Math.max(0, target));
  const reach = COSTS.reach * (bar.endTick - bar.startTick);
  const last = lastOf(bars);
  const off = own.inBar % beatTicks(barAt(bars, own.tick).meter);
  const near = beats.filter(({ tick }) => Math.abs(tick - target) <= reach);
  const between = off === 0 ? [] : near.map(({ tick }) => placeAt(bars, tick + off));
  const all = [...near, ...between, own].filter(({ tick }) => tick < last.endTick || tick === own.tick);
  return [...new Map(all.map((place) => [place.tick, place])).values()].sort((a, b) => a.tick - b.tick);
}

const barAt = (bars: readonly TapBar[], tick: Ticks): TapBar =>
  bars.findLast(({ startTick }) => startTick <= tick) ?? itemAt(bars, 0);

function beatsOf(bars: readonly TapBar[]): readonly Place[] {
  return bars.flatMap((bar) => {
    const beat = beatTicks(bar.meter);
    const start = barStart(bar);
    const first = Math.ceil((bar.startTick - start) / beat) * beat;
    const places: Place[] = [];
    for (let inBar = first; start + inBar < bar.endTick; inBar += beat)
      places.push({ tick: start + inBar, inBar, strength: COSTS.weaker[beatStrength(bar.meter, inBar)] });
    return places;
  });
}

function placeAt(bars: readonly TapBar[], tick: Ticks): Place {
  const bar = barAt(bars, tick);
  const inBar = tick - barStart(bar);
  return { tick, inBar, strength: COSTS.weaker[beatStrength(bar.meter, inBar)] };
}
