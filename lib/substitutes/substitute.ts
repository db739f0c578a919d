import { fail, ok, type Result } from '../base';
import { type Clash, findClashes } from '../plan';
import type { FreedomContext } from '../players';
import { type Answer, type Player, roadmapTimeline, type Song } from '../song';
import { findSpaces } from '../spaces';
import { answersFor } from './answers';
import { impliedVoice, type PartsAfter, partsFor } from './parts';
import { settingFor } from './setting';
import type { Substitute, SubstituteRequest } from './types';

/**
 * Everything of one player's in a song given to another: what to write in one step, and what becomes of it.
 *
 * Model: first what the substitute does and sings (`partsFor`), then, in the song as it is with that, each fill in the order of the song
 * (`answersFor`). What whoever is away said stays theirs: votes, remarks on spaces, who settled what. No chance: the same song gives the same.
 *
 * Errors: two who are one; somebody who is not in the band; an instrument that the substitute does not play.
 */
export function substituteIn(request: SubstituteRequest): Result<Substitute> {
  const { song, players, fromId, toId } = request;
  const from = players.find(({ id }) => id === fromId);
  const to = players.find(({ id }) => id === toId);
  if (!from || !to)
    return fail('a player is not in the band', from ? toId : fromId, 'take them into the band first');
  if (from === to)
    return fail(`${to.name} cannot step in for themselves`, song.title, 'choose somebody else');
  const setting = settingFor(song, from, to, request.instrument);
  if (!setting.ok) return setting;
  const parts = partsFor(song, players, from, to);
  const around = withParts(song, parts, from, to, setting.value);
  const timeline = roadmapTimeline(around);
  const context = { timeline, players, spaces: findSpaces(timeline) };
  const { became, settled } = answersFor({ context, song, from, to, setting: setting.value });
  const { roles, voices, singing, start, ending } = parts;
  const saying = (way: string) => became.filter((each) => each.way === way).map(({ said }) => said);
  return ok({
    songId: song.id,
    writes: {
      fromId,
      toId,
      setting: setting.value,
      roles,
      voices,
      singing,
      start,
      ending,
      answers: became.map(({ after }) => after),
    },
    isNothing: !hasPart(song, from) && impliedVoice(song, players, from) === null,
    kept: saying('kept').length,
    anew: saying('anew'),
    left: [...parts.left, ...saying('left')],
    cautions: [...parts.cautions, ...newClashes(song, from, to, { ...context, settled })],
  });
}

/** Whether a player has anything in a song that could go to somebody else: where they have no role they play backup. */
function hasPart(song: Song, { id, instruments }: Player): boolean {
  const plays = instruments.some((each) => each !== 'voice');
  const holds = ({ holding }: Answer) => holding.kind !== 'left open' && holding.playerId === id;
  return (
    song.passes.some(({ roles }) => (roles[id] === undefined ? plays : roles[id] !== 'lay out')) ||
    [...song.voices, ...song.singing, ...song.settings].some(({ playerId }) => playerId === id) ||
    [song.start.playerId, song.start.counts, song.ending.signalBy].includes(id) ||
    [...song.settled, ...song.proposals].some(holds)
  );
}

/** The song with everything in other hands but the answers. */
function withParts(
  song: Song,
  { roles, voices, singing, start, ending }: PartsAfter,
  from: Player,
  to: Player,
  setting: Song['settings'][number],
): Song {
  const passes = song.passes.map((pass) => {
    const { [to.id]: own, ...others } = pass.roles;
    const given = roles.find(({ passId }) => passId === pass.id);
    const role = given ? given.role : (own ?? null);
    return { ...pass, roles: { ...others, [from.id]: 'lay out' as const, ...(role && { [to.id]: role }) } };
  });
  const isSame = (a: Song['singing'][number], b: Song['singing'][number]) =>
    a.passId === b.passId && a.voiceId === b.voiceId && a.noteId === b.noteId;
  return {
    ...song,
    passes,
    voices: song.voices.map((voice) => {
      const changed = voices.find(({ voiceId }) => voiceId === voice.id);
      return changed ? { ...voice, playerId: changed.playerId } : voice;
    }),
    singing: [...song.singing.filter((each) => !singing.some((now) => isSame(now, each))), ...singing],
    start: { ...song.start, ...start },
    ending: { ...song.ending, ...ending },
    settings: [
      ...song.settings.filter(({ playerId }) => playerId !== from.id && playerId !== to.id),
      setting,
    ],
  };
}

/** What clashes from then on in the substitute's hands and did not before, each in a sentence. */
function newClashes(song: Song, from: Player, to: Player, after: FreedomContext): readonly string[] {
  const timeline = roadmapTimeline(song);
  const before = { ...after, timeline, spaces: findSpaces(timeline), settled: song.settled };
  const key = ({ rule, place, players }: Clash) =>
    [rule, place.passId, place.noteId, ...players.map((id) => (id === from.id ? to.id : id))].join(' ');
  const known = new Set(findClashes(before).map(key));
  return findClashes(after)
    .filter((clash) => clash.players.includes(to.id) && !known.has(key(clash)))
    .map(({ bar, detail }) => `bar ${bar}: ${detail}`);
}
