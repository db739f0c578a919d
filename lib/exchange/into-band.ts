import { fail, type MakeId, ok, type Result } from '../base';
import {
  type Answer,
  type Holding,
  type Player,
  type SetEntry,
  type SetList,
  type Song,
  type SongEntry,
  USUAL_SONG,
} from '../song';
import type { BandFile } from './band-file';

/** Who of a band one is whom a file names; null: nobody of it. */
export type Who = (playerId: string) => string | null;

/** How much of a song is not taken along, since whose it was is nobody of the band that it comes into. */
export interface LeftBehind {
  /** Spaces that were settled and are unclaimed again. */
  readonly spaces: number;
  readonly proposals: number;
  readonly votes: number;
  readonly roles: number;
  /** Instruments, tunings and capos. */
  readonly settings: number;
  /** Who sings a voice, all through or in a pass; who starts, counts in, or signals the end. */
  readonly singers: number;
  /** Comments, and answers that stay, of which nobody knows any more who said them. */
  readonly unsigned: number;
}

export const NOTHING_LEFT: LeftBehind = {
  spaces: 0,
  proposals: 0,
  votes: 0,
  roles: 0,
  settings: 0,
  singers: 0,
  unsigned: 0,
};

export function addLeft(a: LeftBehind, b: LeftBehind): LeftBehind {
  return {
    spaces: a.spaces + b.spaces,
    proposals: a.proposals + b.proposals,
    votes: a.votes + b.votes,
    roles: a.roles + b.roles,
    settings: a.settings + b.settings,
    singers: a.singers + b.singers,
    unsigned: a.unsigned + b.unsigned,
  };
}

/** The first of those that are alike; where two become one, what the first says stands. */
function firstOfEach<T>(items: readonly T[], keyOf: (item: T) => string): readonly T[] {
  const seen = new Set<string>();
  return items.filter((item) => {
    const key = keyOf(item);
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * A song as another band has it, under an id of its own: each player's id in it gives way to who that is there. What belonged to nobody of
 * that band is unclaimed or left out: answers that they hold, their votes, roles and settings, and what they sing, start or end; what they
 * said, and answers of theirs that somebody else holds, stay, said by nobody known. Ids within the song stay as they are: they name nothing
 * outside it. With a `who` that gives every id back, and the song's own id, it is the same song.
 */
export function songForBand(
  song: Song,
  id: string,
  who: Who,
): { readonly song: Song; readonly left: LeftBehind } {
  const orNull = (playerId: string | null): string | null => (playerId === null ? null : who(playerId));
  const held = (holding: Holding): Holding | null => {
    if (holding.kind === 'left open') return holding;
    const playerId = who(holding.playerId);
    return playerId === null ? null : { ...holding, playerId };
  };
  const answers = (all: readonly Answer[]): readonly Answer[] =>
    all.flatMap((answer) => {
      const holding = held(answer.holding);
      return holding === null ? [] : [{ ...answer, holding, by: orNull(answer.by) }];
    });

  const passes = song.passes.map((pass) => {
    const roles = Object.entries(pass.roles).flatMap(([playerId, role]) => {
      const is = who(playerId);
      return is === null ? [] : [[is, role] as const];
    });
    return { ...pass, roles: Object.fromEntries(firstOfEach(roles, ([playerId]) => playerId)) };
  });
  const voices = song.voices.map((voice) => ({ ...voice, playerId: orNull(voice.playerId) }));
  const settings = song.settings.flatMap((setting) => {
    const playerId = who(setting.playerId);
    return playerId === null ? [] : [{ ...setting, playerId }];
  });
  const settled = answers(song.settled);
  const proposals = answers(song.proposals);
  const put = new Set(proposals.map((answer) => answer.id));
  const votes = song.votes.flatMap((vote) => {
    const playerId = who(vote.playerId);
    return playerId === null || !put.has(vote.proposalId) ? [] : [{ ...vote, playerId }];
  });
  const comments = song.comments.map((comment) => ({ ...comment, by: orNull(comment.by) }));
  // Without a singer a voice would be silent there; that nobody has said.
  const singing = song.singing.flatMap((one) => {
    const playerId = orNull(one.playerId);
    return playerId === null && one.playerId !== null ? [] : [{ ...one, playerId }];
  });
  const { start, ending } = song;
  const moved: Song = {
    ...song,
    id,
    passes,
    voices,
    // In the order in which a document gives them, which goes by the players' ids.
    settings: firstOfEach(settings, ({ playerId }) => playerId).toSorted((a, b) =>
      compare(a.playerId, b.playerId),
    ),
    settled,
    proposals,
    votes: firstOfEach(votes, ({ proposalId, playerId }) => JSON.stringify([proposalId, playerId])).toSorted(
      (a, b) => compare(a.proposalId, b.proposalId) || compare(a.playerId, b.playerId),
    ),
    comments,
    start: { ...start, playerId: orNull(start.playerId), counts: orNull(start.counts) },
    ending: { ...ending, signalBy: orNull(ending.signalBy) },
    singing,
  };
  return { song: moved, left: leftBehind(song, moved) };
}

function leftBehind(before: Song, after: Song): LeftBehind {
  const rolesIn = ({ passes }: Song) => passes.reduce((sum, { roles }) => sum + Object.keys(roles).length, 0);
  const named = (ids: readonly (string | null)[]) => ids.filter((id) => id !== null).length;
  const singersIn = ({ voices, start, ending, singing }: Song) =>
    named([
      ...voices.map(({ playerId }) => playerId),
      ...singing.map(({ playerId }) => playerId),
      start.playerId,
      start.counts,
      ending.signalBy,
    ]);
  const stay = new Set([...after.settled, ...after.proposals, ...after.comments].map(({ id }) => id));
  const signedIn = ({ settled, proposals, comments }: Song) =>
    named([...settled, ...proposals, ...comments].filter(({ id }) => stay.has(id)).map(({ by }) => by));
  return {
    spaces: before.settled.length - after.settled.length,
    proposals: before.proposals.length - after.proposals.length,
    votes: before.votes.length - after.votes.length,
    roles: rolesIn(before) - rolesIn(after),
    settings: before.settings.length - after.settings.length,
    singers: singersIn(before) - singersIn(after),
    unsigned: signedIn(before) - signedIn(after),
  };
}

/** The ids of all whom a song names, the first named first. */
export function playersNamedIn(song: Song): readonly string[] {
  const ids = new Set<string>();
  songForBand(song, song.id, (playerId) => {
    ids.add(playerId);
    return playerId;
  });
  return [...ids];
}

/**
 * A set list as another band has it: new ids, and its songs by the ids that they have there; null for a song that does not come along, whose
 * entry is then left out. A break after it comes after the entry before it, a link from one song to the next goes with either of the two,
 * and a place that is held by its number is held no more where what stands before it has changed.
 */
export function setForBand(
  set: SetList,
  songIdOf: (songId: string) => string | null,
  newIds: { readonly setId: string; readonly entryId: (entry: SetEntry) => string },
): SetList {
  const entries: SetEntry[] = [];
  set.entries.forEach((entry, i) => {
    const songId = songIdOf(entry.songId);
    if (songId === null) {
      const last = entries.at(-1);
      if (last)
        entries[entries.length - 1] = {
          ...last,
          linkBars: null,
          breakAfter: last.breakAfter || entry.breakAfter,
        };
      return;
    }
    const isMoved = entries.length !== i;
    const hold = typeof entry.hold === 'number' && isMoved ? null : entry.hold;
    entries.push({ ...entry, id: newIds.entryId(entry), songId, hold });
  });
  const pairs = set.pairs.flatMap(({ songs: [first, second], wanted }) => {
    const [one, other] = [songIdOf(first), songIdOf(second)];
    if (one === null || other === null) return [];
    return [{ songs: one < other ? ([one, other] as const) : ([other, one] as const), wanted }];
  });
  return { ...set, id: newIds.setId, entries, pairs };
}

/** A song of a file with what the file's list says of it. */
export interface FileSong {
  readonly song: Song;
  readonly entry: SongEntry;
}

/** A band file's songs in the order of its list; those that the list does not name come last. One that stands in it twice is a problem. */
export function songsOfFile({ band, songs }: BandFile): Result<readonly FileSong[]> {
  const byId = new Map(songs.map((song) => [song.id, song]));
  const twice = byId.size < songs.length && songs.find((song) => byId.get(song.id) !== song);
  if (twice)
    return fail(`the song "${twice.title}" stands in it twice`, 'its songs', 'take one of the two out');
  const listed = new Set(band?.songs.map(({ id }) => id));
  const inList = (band?.songs ?? []).flatMap((entry) => {
    const song = byId.get(entry.id);
    return song ? [{ song, entry }] : [];
  });
  const unlisted = songs
    .filter(({ id }) => !listed.has(id))
    .map((song) => ({ song, entry: { ...USUAL_SONG, id: song.id, title: song.title } }));
  return ok([...firstOfEach(inList, ({ song }) => song.id), ...unlisted]);
}

/**
 * Who of a band a file's players most likely are: the one with the same id, for the file may be the band's own; else the first, whom nobody
 * has been taken for yet, with the same name (capitals and spaces around it do not count) and the same main instrument. Others are not in it.
 */
export function likelyWho(
  theirs: readonly Pick<Player, 'id' | 'name' | 'instruments'>[],
  ours: readonly Pick<Player, 'id' | 'name' | 'instruments'>[],
): ReadonlyMap<string, string> {
  const who = new Map<string, string>();
  const taken = new Set<string>();
  const take = (their: string, our: string | undefined) => {
    if (our === undefined) return;
    who.set(their, our);
    taken.add(our);
  };
  for (const { id } of theirs) take(id, ours.find((one) => one.id === id)?.id);
  const called = (name: string) => name.trim().toLowerCase();
  for (const { id, name, instruments } of theirs) {
    if (who.has(id)) continue;
    const like = ours.find(
      (one) =>
        !taken.has(one.id) && called(one.name) === called(name) && one.instruments[0] === instruments[0],
    );
    take(id, like?.id);
  }
  return who;
}

/** A file's song as another band has it, its list's entry with it. */
export interface SongForBand extends FileSong {
  /** Its id in the file. */
  readonly from: string;
  readonly left: LeftBehind;
}

/** @param makeId gives an id that nothing has yet */
export function songsForBand(songs: readonly FileSong[], who: Who, makeId: MakeId): readonly SongForBand[] {
  return songs.map(({ song, entry }) => {
    const id = makeId();
    return { ...songForBand(song, id, who), entry: { ...entry, id, title: song.title }, from: song.id };
  });
}
