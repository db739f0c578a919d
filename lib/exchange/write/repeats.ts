import { itemAt } from '../../base';
import type { Pass, Section, Song, Timeline } from '../../song';

/** The repeat signs at one bar. */
export interface Repeats {
  readonly start: boolean;
  /** Times through, where a repeat ends; 1: none ends here. */
  readonly end: number;
  /** The ending that the bar belongs to; empty: to none. */
  readonly ending: readonly number[];
  /** That ending begins here, and stops here. */
  readonly begins: boolean;
  readonly stops: boolean;
}

const NONE: Repeats = { start: false, end: 1, ending: [], begins: false, stops: false };

/**
 * Repeat signs for a song as written. Signs can say a roadmap that runs through its sections in order, each so many times,
 * and that as a whole as often as there are stanzas; any other is told in a sentence. A timeline that is played out has none.
 */
export function repeatsOf(timeline: Timeline): {
  readonly bars: readonly Repeats[];
  readonly leftOut: readonly string[];
} {
  if (timeline.passes.some(({ pass }) => pass !== null))
    return { bars: timeline.bars.map(() => NONE), leftOut: [] };
  const { song } = timeline;
  const said = timesOf(song);
  const bars: Repeats[] = [];
  for (const section of song.sections) {
    const highest = Math.max(1, ...section.bars.flatMap(({ endings }) => endings));
    bars.push(...signsOf(section, Math.max(highest, said?.get(section.id) ?? 1)));
  }
  return {
    bars,
    leftOut: said === null ? [`the order of the song (${orderText(song)}): each part is written once`] : [],
  };
}

/** How many times each section is played in one run through the song; null where signs cannot say the roadmap. */
function timesOf(song: Song): ReadonlyMap<string, number> | null {
  const { passes } = song;
  for (let length = 1; length <= passes.length; length++) {
    if (passes.length % length !== 0) continue;
    const isRound = passes.every((pass, i) => samePlay(pass, itemAt(passes, i % length)));
    if (!isRound) continue;
    const times = inOrder(song, passes.slice(0, length));
    if (times !== null) return times;
  }
  return null;
}

const samePlay = (a: Pass, b: Pass): boolean => a.sectionId === b.sectionId && a.ending === b.ending;

function inOrder(song: Song, round: readonly Pass[]): ReadonlyMap<string, number> | null {
  const times = new Map<string, number>();
  let at = 0;
  for (const section of song.sections) {
    let count = 0;
    while (round[at + count]?.sectionId === section.id) count += 1;
    if (count === 0) return null;
    times.set(section.id, count);
    at += count;
  }
  return at === round.length ? times : null;
}

function orderText(song: Song): string {
  const names = new Map(song.sections.map(({ id, name }) => [id, name]));
  return song.passes.map(({ sectionId, name }) => name || (names.get(sectionId) ?? '')).join(', ');
}

/** What is played the first time alone, before the rest, stands before the sign that the repeat goes back to. */
function leadOf({ bars }: Section): number {
  const lead = bars.findIndex(({ endings }) => endings.join() !== '1');
  return lead > 0 && bars[lead]?.endings.length === 0 ? lead : 0;
}

function signsOf(section: Section, times: number): Repeats[] {
  const { bars } = section;
  const lead = leadOf(section);
  const endingsAt = (i: number): readonly number[] => (i < lead ? [] : (bars[i]?.endings ?? []));
  const hasEndings = bars.some((_, i) => endingsAt(i).length > 0);
  return bars.map((_, i): Repeats => {
    const ending = endingsAt(i);
    const here = ending.join();
    const stops = here !== '' && here !== endingsAt(i + 1).join();
    const isEnd = i === bars.length - 1 && !hasEndings;
    return {
      start: times > 1 && i === lead,
      end: stops && !ending.includes(times) ? 2 : isEnd ? times : 1,
      ending,
      begins: here !== '' && here !== endingsAt(i - 1).join(),
      stops,
    };
  });
}
