import { itemAt } from '../../base';
import {
  type Between,
  EveningModel,
  eveningOfSet,
  runningClock,
  setSongOf,
  type Transition,
} from '../../sets';
import {
  type Band,
  lastRemark,
  type Player,
  remarkInWords,
  roadmapTimeline,
  type SetEntry,
  type SetList,
  type Song,
} from '../../song';
import { phrasesAndSpaces } from '../../spaces';
import type { Run } from '../sheet';

/** How a song of an evening follows on what was before it. */
export type Following =
  | { readonly kind: 'start' }
  | { readonly kind: 'break' }
  | { readonly kind: 'stop'; readonly after: string; readonly transition: Transition }
  | {
      readonly kind: 'no stop';
      readonly after: string;
      readonly linkBars: number;
      readonly transition: Transition;
    };

/** A song at its place of an evening. */
export interface EveningSong {
  /** From 1; a song that is cut leaves its number empty, and no other changes. */
  readonly number: number;
  readonly entry: SetEntry;
  readonly title: string;
  /** Null: no longer in the band. */
  readonly song: Song | null;
  /** The first words that are sung; empty: none. */
  readonly firstWords: string;
  /** From the start of its set. */
  readonly startSeconds: number;
  readonly following: Following;
  /** What was said of it after the last gig; null: nothing. */
  readonly lastTime: string | null;
}

/** An evening as it goes on paper: its sets, cut at the breaks, each with its songs and its length. */
export interface Evening {
  readonly name: string;
  readonly sets: readonly { readonly songs: readonly EveningSong[]; readonly seconds: number }[];
  readonly seconds: number;
  readonly targetSeconds: number | null;
}

/**
 * A set of the band with what lies between its songs and its clock, by the model of lib/sets. A song that is no longer at hand keeps
 * its place and takes no time. O(songs + passes), and for each song its phrases.
 */
export function eveningOnPaper(band: Band, set: SetList, songs: ReadonlyMap<string, Song>): Evening {
  const nameOf = (id: string) => band.players.find((one) => one.id === id)?.name ?? id;
  const titles = new Map(band.songs.map(({ id, title }) => [id, title]));
  const setSongs = [...songs.values()].map((song) => setSongOf(song, band.players));
  const evening = eveningOfSet(set, band, setSongs);
  const costs = new EveningModel(evening, nameOf).costsOf(set.entries.map(({ id }) => id));
  const clock = runningClock(evening, costs);
  const sets = clock.setSeconds.map((seconds): { songs: EveningSong[]; seconds: number } => ({
    songs: [],
    seconds,
  }));
  const titleOf = ({ songId }: SetEntry) =>
    songs.get(songId)?.title ?? titles.get(songId) ?? 'A song that is no longer in the band';
  set.entries.forEach((entry, i) => {
    const at = itemAt(clock.entries, i);
    const remark = lastRemark(band, entry.songId);
    const song = songs.get(entry.songId) ?? null;
    itemAt(sets, at.set).songs.push({
      number: i + 1,
      entry,
      title: titleOf(entry),
      song,
      firstWords: song === null ? '' : firstWordsOf(song),
      startSeconds: at.startSeconds,
      following: followingOf(set.entries[i - 1], costs.between[i - 1], titleOf),
      lastTime: remark && remarkInWords(remark, band.players),
    });
  });
  const { targetSeconds } = set;
  return { name: set.name, sets, seconds: clock.seconds, targetSeconds };
}

/** Words by which a song is known from its first line. */
const WORDS = 5;

function firstWordsOf(song: Song): string {
  const { phrases } = phrasesAndSpaces(roadmapTimeline(song));
  const first = [...phrases].sort((a, b) => a.startTick - b.startTick).find(({ words }) => words !== '');
  const words = (first?.words ?? '').split(/\s+/).slice(0, WORDS).join(' ');
  return words.replace(/[,;:.!?]$/, '');
}

function followingOf(
  before: SetEntry | undefined,
  between: Between | undefined,
  titleOf: (entry: SetEntry) => string,
): Following {
  if (!before || !between) return { kind: 'start' };
  if (between.atBreak) return { kind: 'break' };
  const { linkBars } = before;
  const after = titleOf(before);
  return linkBars === null
    ? { kind: 'stop', after, transition: between }
    : { kind: 'no stop', after, linkBars, transition: between };
}

/** What a player reads before a song: what it follows on, what they have to change, what the others do, what is said, what was said after the last gig. */
export function openingOf(
  { following, entry, lastTime }: EveningSong,
  player: Player,
): readonly (readonly Run[])[] {
  const paragraphs: Run[][] = [];
  if (following.kind === 'break') paragraphs.push([strong('After the break.')]);
  if (following.kind === 'stop' || following.kind === 'no stop') {
    const { after, transition } = following;
    const joins =
      following.kind === 'no stop'
        ? `No stop: straight on from “${after}”${linkInWords(following.linkBars)}. `
        : `After “${after}”, ${Math.round(transition.seconds)} seconds: `;
    const own = transition.changes.find(({ playerId }) => playerId === player.id);
    const mine = own === undefined ? 'nothing for you to change.' : `${own.steps.join(', ')}.`;
    const runs = [
      plain(joins),
      own === undefined ? plain(capitalIf(following.kind, mine)) : strong(capitalIf(following.kind, mine)),
    ];
    const others = transition.steps.filter((_, i) => transition.changes[i]?.playerId !== player.id);
    if (others.length > 0) runs.push(plain(` The others: ${others.join('; ')}.`));
    paragraphs.push(runs);
  }
  const talk = entry.talkSeconds > 0 ? `Talk, ${Math.round(entry.talkSeconds)} seconds.` : '';
  const words = [talk, entry.note].filter((text) => text !== '').join(' ');
  if (words !== '') paragraphs.push([plain(words)]);
  if (lastTime !== null) paragraphs.push([plain(`Last time ${lastTime}.`)]);
  return paragraphs;
}

const plain = (text: string): Run => ({ text, face: 'plain' });
const strong = (text: string): Run => ({ text, face: 'strong' });
const capitalIf = (kind: Following['kind'], text: string): string =>
  kind === 'no stop' ? text.charAt(0).toUpperCase() + text.slice(1) : text;

function linkInWords(bars: number): string {
  if (bars === 0) return '';
  return bars === 1 ? ', by a link of 1 bar' : `, by a link of ${bars} bars`;
}
