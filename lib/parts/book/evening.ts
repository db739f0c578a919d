import { betweenSongs, setSongOf, type Transition } from '../../sets';
import { type Band, DEFAULT_TEMPO, type Player, type SetEntry, type SetList, type Song } from '../../song';
import { barTicks, secondsOf } from '../../time';
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
  readonly seconds: number;
  /** From the start of its set. */
  readonly startSeconds: number;
  readonly following: Following;
}

/** An evening as it goes on paper: its sets, cut at the breaks, each with its songs and its length. */
export interface Evening {
  readonly name: string;
  readonly sets: readonly { readonly songs: readonly EveningSong[]; readonly seconds: number }[];
  readonly seconds: number;
  readonly targetSeconds: number | null;
}

/**
 * A set of the band with what lies between its songs, by `betweenSongs`, and its clock: each song's length, what lies between, talk,
 * and the bars that link a medley. O(songs + passes).
 */
export function eveningOnPaper(band: Band, set: SetList, songs: ReadonlyMap<string, Song>): Evening {
  const nameOf = (id: string) => band.players.find((one) => one.id === id)?.name ?? id;
  const titles = new Map(band.songs.map(({ id, title }) => [id, title]));
  const sets: { songs: EveningSong[]; seconds: number }[] = [];
  let before: { entry: SetEntry; song: Song | null; title: string } | null = null;
  let clock = 0;
  set.entries.forEach((entry, i) => {
    const song = songs.get(entry.songId) ?? null;
    const title = song?.title ?? titles.get(entry.songId) ?? 'A song that is no longer in the band';
    const opens = before === null || before.entry.breakAfter;
    let following: Following = { kind: before === null ? 'start' : 'break' };
    if (opens) {
      sets.push({ songs: [], seconds: 0 });
      clock = entry.talkSeconds;
    } else if (before !== null && before.song !== null && song !== null) {
      const [from, to] = [before.song, song].map((one, k) =>
        setSongOf(one, band.players, k === 0 ? {} : { talkSeconds: entry.talkSeconds }),
      );
      const { linkBars } = before.entry;
      if (from && to) {
        const transition = betweenSongs(from, to, nameOf, linkBars !== null);
        const after = before.title;
        following =
          linkBars === null
            ? { kind: 'stop', after, transition }
            : { kind: 'no stop', after, linkBars, transition };
        clock +=
          linkBars === null
            ? transition.seconds
            : linkBars * secondsOf(barTicks(from.meter), from.tempo ?? DEFAULT_TEMPO);
      }
    } else clock += entry.talkSeconds;
    const seconds = song === null ? 0 : setSongOf(song, band.players).seconds;
    const current = sets[sets.length - 1];
    current?.songs.push({ number: i + 1, entry, title, song, seconds, startSeconds: clock, following });
    clock += seconds;
    if (current) current.seconds = clock;
    before = { entry, song, title };
  });
  return {
    name: set.name,
    sets,
    seconds: sets.reduce((sum, one) => sum + one.seconds, 0),
    targetSeconds: set.targetSeconds,
  };
}

/** What a player reads before a song: what it follows on, what they have to change, what the others do, what is said. */
export function openingOf({ following, entry }: EveningSong, player: Player): readonly (readonly Run[])[] {
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
