import { must, type Result } from '@/lib/base';
import { newSongDocument, readSong, SongEdits } from '@/lib/document';
import type { InstrumentName } from '@/lib/instruments';
import type { Answer, Player, Song } from '@/lib/song';
import { type Substitute, substituteIn } from '@/lib/substitutes';
import { demoBand } from '@/server/demo';

export const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.where}`);
  return result.value;
};

const demo = await demoBand();
export const { players } = demo.band;
export const { songs } = demo;

export const plays = (instrument: InstrumentName) =>
  must(
    players.find(({ instruments }) => instruments[0] === instrument),
    instrument,
  );
/** Somebody who has no part in any song yet. */
export const guest = (fields: Partial<Player> = {}): Player => ({
  ...plays('guitar'),
  id: 'guest',
  name: 'Lou',
  sings: 'none',
  range: null,
  ...fields,
});

export function open(song: Song) {
  const doc = newSongDocument(song);
  let count = 0;
  const makeId = () => {
    count += 1;
    return `n${count}`;
  };
  return {
    doc,
    edits: new SongEdits(doc, { by: 'guest', now: () => 5, makeId }),
    song: () => readSong(doc).song,
  };
}

/** A song after a substitute, through the document; and what was said of it. */
export function handedOver(
  song: Song,
  from: Player,
  to: Player,
  instrument?: InstrumentName,
): { readonly now: Song; readonly said: Substitute } {
  const all = [...players, ...[from, to].filter((each) => !players.includes(each))];
  const given = { song, players: all, fromId: from.id, toId: to.id };
  const said = value(substituteIn(instrument ? { ...given, instrument } : given));
  const page = open(song);
  value(page.edits.substitute(said.writes));
  return { now: page.song(), said };
}

export const holderOf = ({ holding }: Answer) => (holding.kind === 'left open' ? null : holding.playerId);

/** Every place of a song in which it says that a player does something. */
export function whereNamed(song: Song, id: string): readonly string[] {
  return [
    ...song.passes.flatMap(({ roles }) => (id in roles && roles[id] !== 'lay out' ? ['a role'] : [])),
    ...song.settings.flatMap(({ playerId }) => (playerId === id ? ['a setting'] : [])),
    ...song.voices.flatMap(({ playerId }) => (playerId === id ? ['a voice'] : [])),
    ...song.singing.flatMap(({ playerId }) => (playerId === id ? ['a change of singer'] : [])),
    ...[song.start.playerId, song.start.counts, song.ending.signalBy].flatMap((each) =>
      each === id ? ['start or ending'] : [],
    ),
    ...[...song.settled, ...song.proposals].flatMap((each) => (holderOf(each) === id ? ['an answer'] : [])),
  ];
}
