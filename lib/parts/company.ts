import { type BackupWay, keepsTheChop, WAY_OF } from '../fills';
import { singingOf } from '../players';
import { type Band, type Pass, type Player, type Role, settingOf, soundingVoices } from '../song';
import type { Space } from '../spaces';
import type { Arrangement } from './arrangement';
import { listOf } from './sentences';

/** What a player does in a pass: what is said, else what they sing in the band, else backup. */
export function roleIn(arrangement: Arrangement, pass: Pass, player: Player): Role {
  const said = pass.roles[player.id];
  if (said !== undefined) return said;
  const singing = singingOf(player, pass, arrangement.timeline);
  if (singing === null) return 'backup';
  return singing.called === 'lead' ? 'lead' : 'harmony';
}

/** What somebody who backs up is doing, after their name. */
const BACKS_UP: Readonly<Record<BackupWay, string>> = {
  'boom-chuck': 'plays boom-chuck',
  chop: 'chops',
  vamp: 'vamps',
  'root and fifth': 'plays root and fifth',
  'long notes': 'holds long notes',
};

/**
 * What the other players do while one of them has a space: who sings, who has notes of their own, who keeps the chop, who backs up and
 * with what, who lays out. `Tobe vamps, Cass chops, Ansel lays out`; empty in a band of one.
 */
export function othersInSpace(arrangement: Arrangement, band: Band, player: Player, space: Space): string {
  const { song, timeline } = arrangement;
  const pass = song.passes.find(({ id }) => id === space.place.passId) ?? null;
  const others = band.players.filter(({ id }) => id !== player.id);
  const wayOf = (one: Player) => WAY_OF[settingOf(song, one).instrument];
  const busy = new Map<string, string>();
  for (const other of others) {
    const does = doesInstead(arrangement, pass, other, space);
    if (does !== null) busy.set(other.id, does);
  }
  const backing = others.filter(({ id }) => !busy.has(id));
  const seated = (players: readonly Player[]) =>
    players.map((one) => ({ id: one.id, setup: settingOf(song, one) }));
  const usual = keepsTheChop(seated(band.players), null);
  const keeper = keepsTheChop(seated(backing), null);
  const isTakenOver = keeper !== usual && band.players.some((one) => wayOf(one) === 'chop');
  const does = (one: Player): string => {
    const instead = busy.get(one.id);
    if (instead !== undefined) return instead;
    if (isTakenOver && one.id === keeper) return 'keeps the chop';
    const way = wayOf(one);
    return way === null || timeline.chords.length === 0 ? 'backs up' : BACKS_UP[way];
  };
  return others.map((one) => `${one.name} ${does(one)}`).join(', ');
}

/** What somebody does in a space other than backing up; null: nothing else. */
function doesInstead(
  arrangement: Arrangement,
  pass: Pass | null,
  other: Player,
  space: Space,
): string | null {
  const { timeline, standings } = arrangement;
  const meets = (one: { readonly startTick: number; readonly endTick: number }) =>
    one.startTick < space.endTick && one.endTick > space.startTick;
  const own = singingOf(other, pass, timeline)?.voiceId ?? null;
  const sings = [...timeline.notes].some(([voiceId, notes]) =>
    notes.some((note) => meets(note) && (note.singer === null ? voiceId === own : note.singer === other.id)),
  );
  const plays = standings.some(
    ({ answer: { holding }, startTick, endTick, notes }) =>
      holding.kind !== 'left open' &&
      holding.playerId === other.id &&
      (notes.length > 0
        ? notes.some((note) => meets({ startTick: note.tick, endTick: note.tick + note.ticks }))
        : meets({ startTick, endTick })),
  );
  if (sings && plays) return 'sings and has notes here too';
  if (plays) return 'has notes here too';
  const role = pass === null ? 'backup' : roleIn(arrangement, pass, other);
  if (role === 'break') return 'takes the break';
  if (role === 'lay out') return sings ? 'sings' : 'lays out';
  return sings ? 'sings' : null;
}

/** Who sings which part in a pass, one player left out: `Ina lead, Tobe and Cass tenor`; empty where nobody else does. */
export function voicesInWords(
  arrangement: Arrangement,
  band: Band,
  pass: Pass,
  leftOut: string | null,
): string {
  const byPart = new Map<string, string[]>();
  for (const one of band.players) {
    const singing = singingOf(one, pass, arrangement.timeline);
    if (singing === null || one.id === leftOut) continue;
    byPart.set(singing.called, [...(byPart.get(singing.called) ?? []), one.name]);
  }
  const ofPart = [...byPart].map(([called, names]) => `${listOf(names)} ${called}`);
  return [ofPart.join(', '), ...changesOfSinger(arrangement, band, pass)]
    .filter((one) => one !== '')
    .join('; ');
}

/** Where a part goes over to somebody else within a pass. */
function changesOfSinger({ song, timeline }: Arrangement, band: Band, pass: Pass): readonly string[] {
  return song.singing.flatMap(({ passId, voiceId, noteId, playerId }) => {
    if (passId !== pass.id || noteId === null) return [];
    const at = timeline.notes.get(voiceId)?.find((one) => one.note.id === noteId && one.passId === passId);
    const voice = song.voices.find(({ id }) => id === voiceId);
    if (!at || !voice) return [];
    const who = band.players.find(({ id }) => id === playerId)?.name ?? 'nobody';
    return [`from bar ${timeline.barAt(at.startTick).number} ${who} has the ${voice.part}`];
  });
}

/** Where a player who sings in a pass breathes: the ends of the phrases that they sing, by tick. */
export function breathsOf(arrangement: Arrangement, player: Player): ReadonlySet<number> {
  const { song, timeline, phrases } = arrangement;
  const breaths = new Set<number>();
  for (const pass of song.passes) {
    if (soundingVoices(song, pass).length === 0) continue;
    const own = singingOf(player, pass, timeline);
    for (const phrase of phrases) {
      if (phrase.passId !== pass.id) continue;
      const last = timeline.notes.get(phrase.voiceId)?.[phrase.lastNote];
      const mine = last?.singer ? last.singer === player.id : own?.voiceId === phrase.voiceId;
      if (mine) breaths.add(phrase.endTick);
    }
  }
  return breaths;
}
