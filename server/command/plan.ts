import { fail, itemAt, ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { allBestOffers, type Clash, findClashes, type PlanEntry, planSpaces } from '../../lib/plan';
import { passSaid } from '../../lib/players';
import {
  microphoneOf,
  microphoneSettings,
  NEW_BAND,
  type Pass,
  type Player,
  type PlayersFile,
  playersOf,
  type Role,
  roadmapTimeline,
  type Answer as Settled,
  type Song,
  type Timeline,
  writtenTimeline,
} from '../../lib/song';
import { findSpaces, type Space, tickOfPlace } from '../../lib/spaces';
import { reasonAnswer, settledOf } from './free';
import { type Answer, plain, type Told } from './output';

/** `plan`: who takes which space as the roadmap runs, and what clashes in what is settled already. */
export function tellPlan(file: string, read: SongRead, playersFile: PlayersFile): Result<Told> {
  const players = playersOf(playersFile);
  const bare = asPlayed(read.song, playersFile, players);
  const timeline = roadmapTimeline(bare);
  const spaces = findSpaces(timeline);
  const settled = settledIn(playersFile, timeline, spaces, players);
  if (!settled.ok) return settled;
  const microphone = microphoneOf({ players, ...microphoneSettings(playersFile) });
  const context = { timeline, players, spaces, settled: settled.value, microphone };
  const openShare = playersFile.openShare ?? NEW_BAND.openShare;
  const { plan } = planSpaces({ ...context, fits: allBestOffers(context), openShare });
  const clashes = findClashes(context);
  const nameOf = (id: string) => players.find((player) => player.id === id)?.name ?? id;
  return ok({
    answer: {
      file,
      plan: plan.entries.map(entryAnswer),
      total: plan.total,
      exact: plan.exact,
      lowerBound: plan.lowerBound,
      clashes: clashes.map(clashAnswer),
    },
    text: [
      `${read.song.title} (${file})`,
      ...timeline.passes.flatMap((placed) => [
        `  ${passSaid(timeline, placed)}`,
        ...plan.entries
          .filter(({ space }) => space.startTick >= placed.startTick && space.startTick < placed.endTick)
          .map((entry) => entryText(entry, nameOf)),
      ]),
      ...(plan.entries.length === 0 ? ['  no spaces'] : []),
      `  costs ${plan.total} points: ${plan.exact ? 'no plan costs less' : `no plan costs less than ${plan.lowerBound}`}`,
      ...clashes.map(clashText),
    ].join('\n'),
  });
}

const SUNG: Readonly<Record<Player['sings'], Role | null>> = {
  lead: 'lead',
  tenor: 'harmony',
  baritone: 'harmony',
  none: null,
};

/** The song as these players play it: what they sing in every pass that is sung, and their capos. */
export function asPlayed(song: Song, file: PlayersFile, players: readonly Player[]): Song {
  const roles = Object.fromEntries(
    players.flatMap((player): [string, Role][] => {
      const role = SUNG[player.sings];
      return role === null ? [] : [[player.id, role]];
    }),
  );
  return {
    ...song,
    passes: song.passes.map((pass: Pass) => (pass.stanza === null ? pass : { ...pass, roles })),
    settings: players.flatMap((player, i) => {
      const instrument = player.instruments.find((name) => name !== 'voice');
      if (!instrument) return [];
      const { capo } = itemAt(file.players, i);
      return [
        { playerId: player.id, instrument, tuning: 'standard', capo, fifthCapo: null, rule: player.rule },
      ];
    }),
  };
}

/**
 * What is settled, on the roadmap: a space is named by its id in the plan, or by its id in the song as written, which stands for it in
 * every pass. Notes may count from the start of either.
 */
export function settledIn(
  file: PlayersFile,
  timeline: Timeline,
  spaces: readonly Space[],
  players: readonly Player[],
): Result<readonly Settled[]> {
  const written = writtenTimeline(timeline.song);
  const writtenSpaces = findSpaces(written);
  const settled: Settled[] = [];
  for (const [i, entry] of file.settled.entries()) {
    const where = `settled, entry ${i + 1} of the players file`;
    if (entry.holder !== null && !players.some(({ id }) => id === entry.holder))
      return fail(
        `there is no player '${entry.holder}'`,
        where,
        'name one of the players by their id, or null',
      );
    const asWritten = writtenSpaces.find(({ id }) => id === entry.space);
    const meant = spaces.filter(
      (space) => space.id === entry.space || (asWritten && comesFrom(space, asWritten, timeline, written)),
    );
    if (meant.length === 0)
      return fail(
        `there is no space '${entry.space}' in the song as it is played`,
        where,
        "take the ids from 'plan' or 'spaces' for this very file",
      );
    for (const space of meant) {
      const own = tickOfPlace(timeline, space.place) ?? space.startTick;
      const first = entry.notes?.[0]?.tick ?? space.startTick;
      const onRoadmap = first >= space.startTick && first < space.endTick;
      const from = onRoadmap ? own : (writtenOrigin(space, timeline, written) ?? own);
      const answer = settledOf(entry, space, from, settled.length);
      settled.push({ ...answer, extent: { from: space.startTick - own, to: space.endTick - own } });
    }
  }
  return ok(settled);
}

function comesFrom(space: Space, asWritten: Space, timeline: Timeline, written: Timeline): boolean {
  if (asWritten.kind !== space.kind) return false;
  if (asWritten.place.noteId !== null) return space.place.noteId === asWritten.place.noteId;
  return (
    space.place.noteId === null &&
    sectionAt(timeline, space.startTick) === sectionAt(written, asWritten.startTick)
  );
}

function sectionAt({ passes }: Timeline, tick: number): string | undefined {
  return passes.find((placed) => placed.endTick > tick)?.section.id;
}

/** Where a space's place stands in the song as written. */
function writtenOrigin(space: Space, timeline: Timeline, written: Timeline): number | null {
  const { noteId, voiceId } = space.place;
  if (noteId !== null && voiceId !== null)
    return written.notes.get(voiceId)?.find(({ note }) => note.id === noteId)?.startTick ?? null;
  const section = sectionAt(timeline, space.startTick);
  return written.passes.find((placed) => placed.section.id === section)?.startTick ?? null;
}

function entryAnswer({ space, holder, cost, reasons }: PlanEntry): Answer {
  return { space: space.id, pass: space.place.passId, holder, cost, reasons: reasons.map(reasonAnswer) };
}

function clashAnswer({ rule, spaceId, place, bar, beat, players, detail, mend }: Clash): Answer {
  return { clash: rule, space: spaceId, pass: place.passId, bar, beat, players, detail, mend: mend.says };
}

function entryText({ space, holder, settled, reasons }: PlanEntry, nameOf: (id: string) => string): string {
  const at = `bar ${space.bar}, beat ${plain(space.beat)}: ${plain(space.beats)} ${space.beats === 1 ? 'beat' : 'beats'}`;
  const who = holder === null ? 'left open' : nameOf(holder);
  const why = reasons.slice(0, 3).map(({ detail }) => detail);
  return `    ${at}, ${settled ? 'settled: ' : ''}${who} (${why.join('; ')})`;
}

function clashText({ rule, bar, beat, detail, mend }: Clash): string {
  return `  clash, ${rule}, bar ${bar}, beat ${plain(beat)}: ${detail}; mend: ${mend.says}`;
}
