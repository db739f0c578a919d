import { fail, itemAt, lastOf, must, ok, type Reason, type Result } from '../base';
import { heldPlaces } from './check';
import { CUT_WORTH } from './costs';
import type { EveningModel } from './model';
import type { Evening, SetSong } from './types';

/** Songs left out of an evening that is too long. */
export interface Cut {
  /** Ids of the songs left out, in order. */
  readonly cut: readonly string[];
  /** What is left, in the order that it had. */
  readonly order: readonly string[];
  readonly sets: readonly number[];
  readonly savedSeconds: number;
  /** In seconds' worth: the sum of the reasons. */
  readonly lost: number;
  readonly reasons: readonly Reason[];
}

/** Less than any clock shows. */
const MOMENT = 1e-6;

/** A way to leave songs out up to one that stays. */
interface Choice {
  readonly saved: number;
  /** What is lost, and the time saved: at the end only the time asked for is given back. */
  readonly lostAndSaved: number;
  readonly before: Choice | null;
  readonly kept: number;
}

/**
 * 'Cut twelve minutes, change as little as can be': which songs to leave out so that an order becomes shorter by so much.
 *
 * Model: the order stays as it is. Fewest songs are left out; among those choices, the one that loses least, in seconds' worth: what the
 * songs are worth (`CUT_WORTH`), what neighbours that come together cost more than before, and the time cut beyond what was asked. Exact (dynamic
 * programming over the songs that stay, all choices kept that another does not beat in both time and loss). Songs held in place and songs
 * of medleys stay, and each set keeps one song. The rise and fall of what is left is not counted.
 *
 * Errors: an evening that is not sound, a time that cannot be cut.
 */
export function cutSeconds(model: EveningModel, order: readonly string[], seconds: number): Result<Cut> {
  const sound = heldPlaces(model.evening);
  if (!sound.ok) return sound;
  if (!(seconds >= 0) || !Number.isFinite(seconds)) {
    return fail('this is no time to cut', 'the time', 'give minutes and seconds above 0');
  }
  const steps = stepsOf(model, order);
  const end = order.length + 1;
  const most = mostSaved(steps, end);
  const count = most.findIndex((saved) => itemAt(saved, 0) >= seconds - MOMENT);
  if (count < 0) {
    const least = Math.max(0, ...most.map((saved) => itemAt(saved, 0)));
    return fail(
      `at most ${Math.floor(least)} seconds can be cut`,
      'the songs held in place, the medleys, and one song of each set',
      'let a held song go, or cut less',
    );
  }
  const best = leastLost(steps, end, count, seconds, most);
  const kept = new Set<number>();
  for (let at: Choice | null = best; at; at = at.before) kept.add(at.kept);
  const stays = order.filter((_, i) => kept.has(i + 1));
  const cut = order.filter((_, i) => !kept.has(i + 1));
  const reasons = reasonsOf(model, order, kept, best.saved - seconds);
  return ok({
    cut,
    order: stays,
    sets: setsLeft(model.evening, kept),
    savedSeconds: best.saved,
    lost: reasons.reduce((sum, { weight }) => sum + weight, 0),
    reasons,
  });
}

/** From one song that stays to the next, all between them left out. Songs count from 1; 0 is the start and `order.length + 1` the end. */
interface Step {
  readonly to: number;
  readonly cuts: number;
  readonly saved: number;
  readonly lost: number;
}

function stepsOf(model: EveningModel, order: readonly string[]): readonly (readonly Step[])[] {
  const songs = order.map((id) => model.song(id));
  const stay = new Set(model.evening.joined.flat());
  const mayGo = (song: SetSong) => song.place === null && !stay.has(song.id);
  const setOf = setNumbers(model.evening);
  return [null, ...songs].map((from, i) => {
    const steps: Step[] = [];
    let worth = 0;
    for (let to = i + 1; to <= songs.length + 1; to++) {
      const song = songs[to - 1] ?? null;
      const sets = setsPassed(setOf, i, to, songs.length);
      if (sets > 1) break;
      const saved = timeOf(model, songs, i, to, setOf) - timeBetween(model, from, song, sets > 0);
      const lost = worth + costBetween(model, from, song, sets > 0) - costOver(model, songs, i, to, setOf);
      steps.push({ to, cuts: to - i - 1, saved, lost });
      if (song === null || !mayGo(song)) break;
      worth += worthOf(song);
    }
    return steps;
  });
}

/** Breaks between two places; the start and the end of the evening are breaks, too. A set left empty shows as two. */
function setsPassed(setOf: readonly number[], from: number, to: number, count: number): number {
  const first = from === 0 ? -1 : itemAt(setOf, from - 1);
  const last = to > count ? lastOf(setOf) + 1 : itemAt(setOf, to - 1);
  return last - first;
}

function setNumbers({ sets }: Evening): number[] {
  return sets.flatMap((count, set) => Array.from({ length: count }, () => set));
}

/** The time of all songs between two that stay, and of what lies between. */
function timeOf(
  model: EveningModel,
  songs: readonly SetSong[],
  from: number,
  to: number,
  setOf: readonly number[],
): number {
  let time = 0;
  for (let at = from; at < to; at++) {
    const [a, b] = [songs[at - 1] ?? null, songs[at] ?? null];
    time += timeBetween(model, a, b, at === 0 || b === null || setOf[at - 1] !== setOf[at]);
    if (at + 1 < to && b) time += b.seconds;
  }
  return time;
}

function timeBetween(model: EveningModel, a: SetSong | null, b: SetSong | null, atBreak: boolean): number {
  if (b === null) return 0;
  return atBreak || a === null ? b.talkSeconds : model.transition(a, b).seconds;
}

function costBetween(model: EveningModel, a: SetSong | null, b: SetSong | null, atBreak: boolean): number {
  return a === null || b === null || atBreak ? 0 : model.betweenCost(a, b);
}

function costOver(
  model: EveningModel,
  songs: readonly SetSong[],
  from: number,
  to: number,
  setOf: readonly number[],
): number {
  let cost = 0;
  for (let at = from; at < to; at++) {
    const [a, b] = [songs[at - 1] ?? null, songs[at] ?? null];
    cost += costBetween(model, a, b, setOf[at - 1] !== setOf[at]);
  }
  return cost;
}

function worthOf(song: SetSong): number {
  const worth = (song.energy ?? CUT_WORTH.usualEnergy) * CUT_WORTH.energy;
  return song.shaky ? worth * CUT_WORTH.shakyShare : worth;
}

/** `[cuts][song]`: the most time that can be saved from a song on with so many cuts; none: below any time. */
function mostSaved(steps: readonly (readonly Step[])[], end: number): number[][] {
  const most: number[][] = [];
  for (let cuts = 0; cuts < end; cuts++) {
    const row = new Array<number>(end + 1).fill(Number.NEGATIVE_INFINITY);
    if (cuts === 0) row[end] = 0;
    most.push(row);
    for (let from = end - 1; from >= 0; from--) {
      for (const step of itemAt(steps, from)) {
        if (step.cuts > cuts) continue;
        const on = step.saved + itemAt(itemAt(most, cuts - step.cuts), step.to);
        if (on > itemAt(row, from)) row[from] = on;
      }
    }
  }
  return most;
}

function leastLost(
  steps: readonly (readonly Step[])[],
  end: number,
  count: number,
  seconds: number,
  most: readonly (readonly number[])[],
): Choice {
  const choices: Choice[][][] = Array.from({ length: end + 1 }, () =>
    Array.from({ length: count + 1 }, () => []),
  );
  itemAt(itemAt(choices, 0), 0).push({ saved: 0, lostAndSaved: 0, before: null, kept: 0 });
  for (let from = 0; from < end; from++) {
    for (let cuts = 0; cuts <= count; cuts++) {
      const here = unbeaten(itemAt(itemAt(choices, from), cuts));
      for (const step of itemAt(steps, from)) {
        const so = cuts + step.cuts;
        if (so > count) continue;
        const still = itemAt(itemAt(most, count - so), step.to);
        const there = itemAt(itemAt(choices, step.to), so);
        for (const before of here) {
          const saved = before.saved + step.saved;
          if (saved + still < seconds - MOMENT) continue;
          const lostAndSaved = before.lostAndSaved + step.lost + step.saved;
          there.push({ saved, lostAndSaved, before, kept: step.to });
        }
      }
    }
  }
  const whole = itemAt(itemAt(choices, end), count);
  return must(
    whole.reduce<Choice | null>(
      (best, each) => (best && best.lostAndSaved <= each.lostAndSaved + MOMENT ? best : each),
      null,
    ),
    'a choice of songs to cut',
  );
}

/** Without those that save no more and lose no less than another. */
function unbeaten(choices: readonly Choice[]): readonly Choice[] {
  const sorted = [...choices].sort((a, b) => b.saved - a.saved || a.lostAndSaved - b.lostAndSaved);
  let least = Number.POSITIVE_INFINITY;
  return sorted.filter(({ lostAndSaved }) => {
    if (lostAndSaved >= least) return false;
    least = lostAndSaved;
    return true;
  });
}

function setsLeft(evening: Evening, kept: ReadonlySet<number>): number[] {
  const left = evening.sets.map(() => 0);
  setNumbers(evening).forEach((set, i) => {
    if (kept.has(i + 1)) left[set] = itemAt(left, set) + 1;
  });
  return left;
}

function reasonsOf(
  model: EveningModel,
  order: readonly string[],
  kept: ReadonlySet<number>,
  beyond: number,
): Reason[] {
  const songs = order.map((id) => model.song(id));
  const setOf = setNumbers(model.evening);
  const reasons: Reason[] = [];
  let last = 0;
  for (let at = 1; at <= songs.length; at++) {
    const song = itemAt(songs, at - 1);
    if (!kept.has(at)) {
      reasons.push({ rule: 'song', weight: worthOf(song), detail: `'${song.title}' is left out` });
      continue;
    }
    if (last > 0 && last < at - 1 && setOf[last - 1] === setOf[at - 1]) {
      const from = itemAt(songs, last - 1);
      const weight = model.betweenCost(from, song) - costOver(model, songs, last, at, setOf);
      reasons.push({ rule: 'between', weight, detail: `'${song.title}' comes right after '${from.title}'` });
    } else if (last < at - 1) {
      const weight = -costOver(model, songs, last, at, setOf);
      reasons.push({ rule: 'between', weight, detail: `'${song.title}' opens the set` });
    }
    last = at;
  }
  if (last < songs.length) {
    const weight = -costOver(model, songs, last, songs.length + 1, setOf);
    reasons.push({ rule: 'between', weight, detail: 'the evening ends sooner' });
  }
  reasons.push({ rule: 'beyond', weight: beyond, detail: 'seconds cut beyond what was asked' });
  return reasons.filter(({ weight }) => Math.abs(weight) > MOMENT);
}
