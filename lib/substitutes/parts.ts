import { passSaid } from '../players';
import {
  type Pass,
  type Player,
  type Role,
  roadmapTimeline,
  type Singing,
  type Song,
  type Timeline,
  type Voice,
} from '../song';
import { pitchName } from '../theory';
import type { HandedOver } from './types';

/** What is heard from a player in a pass goes before what is heard less. */
const RANK: Readonly<Record<Role, number>> = { lead: 4, break: 3, harmony: 2, backup: 1, 'lay out': 0 };

/** Roles that are missed where nobody has them any more. */
const MISSED: readonly Role[] = ['lead', 'break', 'harmony'];

/** Roles, voices and singers, the start and the ending in other hands. */
export interface PartsAfter extends Pick<HandedOver, 'roles' | 'voices' | 'singing' | 'start' | 'ending'> {
  readonly left: readonly string[];
  readonly cautions: readonly string[];
}

/**
 * What a player does and sings, in another's hands. Nobody does two things at once: in a pass the role that is heard more stays (`RANK`), a singer has one
 * voice, the lead before others. Who has no role plays backup, and so does who steps in for them. A harmony goes to who sings at all and, where they have said how low and how high, reaches all of it; a lead
 * goes to who sings at all. A harmony that does not go is sung by nobody; so is a change of singers inside a pass.
 */
export function partsFor(song: Song, players: readonly Player[], from: Player, to: Player): PartsAfter {
  const timeline = roadmapTimeline(song);
  const voices = voicesFor(song, from, to, {
    from: impliedVoice(song, players, from),
    to: impliedVoice(song, players, to),
  });
  const roles = rolesFor(timeline, from, to, voices);
  const singing = singingFor(timeline, from, to, voices);
  const { start, ending } = song;
  return {
    roles: roles.roles,
    voices: voices.voices,
    singing: [...voices.silent, ...singing.singing],
    start: {
      ...(start.playerId === from.id ? { playerId: to.id } : {}),
      ...(start.counts === from.id ? { counts: to.id } : {}),
    },
    ending: ending.signalBy === from.id ? { signalBy: to.id } : {},
    left: [...roles.left, ...voices.left, ...singing.left],
    cautions: voices.cautions,
  };
}

/**
 * The voice that is given to nobody and that a player sings all the same, since they alone of who is there sing that part; null: none.
 */
export function impliedVoice(song: Song, players: readonly Player[], player: Player): Voice | null {
  const { sings: part } = player;
  if (part === 'none' || song.voices.some(({ playerId }) => playerId === player.id)) return null;
  const isThere = (one: Player) => one.sings === part && !isOut(song, one);
  if (!isThere(player) || players.some((other) => other.id !== player.id && isThere(other))) return null;
  return song.voices.find((voice) => voice.part === part && voice.playerId === null) ?? null;
}

/** Whether a player lays out in all of a song, as who is away does. */
export const isOut = ({ passes }: Song, { id }: Player): boolean =>
  passes.length > 0 && passes.every(({ roles }) => roles[id] === 'lay out');

const sings = ({ sings: part }: Player): boolean => part !== 'none';

function rolesFor(timeline: Timeline, from: Player, to: Player, voices: VoicesAfter) {
  const roles: { passId: string; role: Role | null }[] = [];
  // By what is said of them: the passes in which it is so.
  const lost = new Map<string, string[]>();
  for (const placed of timeline.passes) {
    const { pass } = placed;
    if (!pass) continue;
    const written = pass.roles[to.id];
    const own = stepsIn(written, pass.roles[from.id], from, to) ? undefined : written;
    const mine = pass.roles[from.id] ?? (own === undefined ? sungBy(pass, voices.taken) : undefined);
    const lose = (role: Role, whose: Player, why: string) => {
      // A written voice of their own that they let go is told of already.
      if (!MISSED.includes(role) || (whose === to && voices.letsOwnGo)) return;
      const said = `${to.name} ${why}; ${whose.name}’s ${role} is left open`;
      lost.set(said, [...(lost.get(said) ?? []), passSaid(timeline, placed)]);
    };
    const becomes = (): Role | undefined => {
      // Where the written voice does not go, its role does not either: the voice is told of already.
      if (mine === undefined || (isSung(mine) && voices.leftRoles.includes(mine))) return own;
      const why = cannot(to, mine);
      if (why !== null) {
        lose(mine, from, why);
        return own;
      }
      const keepsOwn = own !== undefined && RANK[own] >= RANK[mine];
      const role = keepsOwn ? own : mine;
      if (own !== undefined && own !== mine)
        if (keepsOwn) lose(mine, from, doing(role));
        else lose(own, to, doing(role));
      return role;
    };
    const role = becomes();
    if (role !== written) roles.push({ passId: pass.id, role: role ?? null });
  }
  return { roles, left: [...lost].map(([said, passes]) => `${listed(passes)}: ${said}`) };
}

/**
 * Whether somebody who lays out plays after all, since who they step in for does not lay out there: backup at least, as everybody does who plays an
 * instrument and has no role.
 */
const stepsIn = (own: Role | undefined, mine: Role | undefined, from: Player, to: Player): boolean =>
  own === 'lay out' && mine !== 'lay out' && plays(from) && plays(to);

const plays = ({ instruments }: Player): boolean => instruments.some((each) => each !== 'voice');

const isSung = (role: Role): boolean => role === 'lead' || role === 'harmony';

/** `a`, `a and b`, `a, b and c`. */
const listed = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

/** The role in which a player sings a voice that is written for them where no role is given. */
function sungBy(pass: Pass, voice: Voice | null): Role | undefined {
  if (voice === null || pass.stanza === null) return undefined;
  if (voice.part !== 'lead') return 'harmony';
  return Object.values(pass.roles).includes('lead') ? undefined : 'lead';
}

function cannot(to: Player, role: Role): string | null {
  if (isSung(role) && !sings(to)) return 'does not sing';
  if (role === 'break' && !plays(to)) return 'plays no instrument';
  return null;
}

function doing(role: Role): string {
  if (role === 'break') return 'has the break there';
  if (role === 'lead') return 'sings the lead there';
  return role === 'harmony' ? 'sings harmony there' : 'plays backup there';
}

interface VoicesAfter extends Pick<HandedOver, 'voices'> {
  /** The voice that the substitute takes over; null: none. */
  readonly taken: Voice | null;
  /** The roles in which whoever is away sings a voice that does not go. */
  readonly leftRoles: readonly Role[];
  /** True where the substitute lets a voice of their own go for it. */
  readonly letsOwnGo: boolean;
  /** Passes in which a harmony that does not go is silent. */
  readonly silent: readonly Singing[];
  readonly left: readonly string[];
  readonly cautions: readonly string[];
}

function voicesFor(
  song: Song,
  from: Player,
  to: Player,
  implied: { readonly from: Voice | null; readonly to: Voice | null },
): VoicesAfter {
  const own = song.voices.find(({ playerId }) => playerId === to.id) ?? implied.to;
  const was = song.voices.filter((voice) => voice.playerId === from.id || voice === implied.from);
  const lead = was.find(({ part }) => part === 'lead') ?? null;
  const cautions: string[] = [];
  const left: string[] = [];
  const given: Voice[] = [];
  const gone: Voice[] = [];
  let taken: Voice | null = null;
  for (const voice of lead ? [lead, ...was.filter((each) => each !== lead)] : was) {
    const why = taken ? `sings the ${calledOf(taken)}` : cannotSing(song, voice, to, own);
    const out = outside(song, voice, to);
    if (why === null) {
      taken = voice;
      given.push(voice);
      if (out !== null) cautions.push(`the ${calledOf(voice)} goes ${out}`);
    } else {
      gone.push(voice);
      left.push(`the ${calledOf(voice)}: ${to.name} ${why}; it is left open`);
    }
  }
  if (own && taken) {
    gone.push(own);
    left.push(`the ${calledOf(own)}: ${to.name} sings the ${calledOf(taken)} now; it is left open`);
  }
  return {
    voices: [
      ...given.map(({ id }) => ({ voiceId: id, playerId: to.id })),
      ...gone.filter(({ playerId }) => playerId !== null).map(({ id }) => ({ voiceId: id, playerId: null })),
    ],
    taken,
    leftRoles: was.flatMap((voice) =>
      gone.includes(voice) ? [voice.part === 'lead' ? 'lead' : 'harmony'] : [],
    ),
    letsOwnGo: own !== null && taken !== null,
    silent: gone
      .filter((voice) => voice.part !== 'lead' && voice.playerId !== null)
      .flatMap((voice) => silenced(song, voice)),
    left,
    cautions,
  };
}

/** Every sung pass in which nobody else comes in with the voice at once. */
function silenced(song: Song, { id }: Voice): readonly Singing[] {
  return song.passes.flatMap((pass) => {
    const isSaid = song.singing.some(
      (each) => each.passId === pass.id && each.voiceId === id && each.noteId === null,
    );
    return pass.stanza === null || isSaid
      ? []
      : [{ passId: pass.id, voiceId: id, noteId: null, playerId: null }];
  });
}

/** Why a voice does not go, as what the substitute does instead; null: it goes. */
function cannotSing(song: Song, voice: Voice, to: Player, own: Voice | null): string | null {
  if (!sings(to)) return 'does not sing';
  if (voice.part === 'lead') return null;
  if (own) return `sings the ${calledOf(own)}`;
  const out = outside(song, voice, to);
  return out === null ? null : `does not reach it, it goes ${out}`;
}

/** How far a voice goes beyond what somebody sings with ease; null: it does not, or nobody has said. */
function outside(song: Song, voice: Voice, { name, range }: Player): string | null {
  if (!range) return null;
  const sung = song.notes.flatMap(({ voiceId, midi }) =>
    voiceId === voice.id && midi !== null ? [midi] : [],
  );
  const all = sung.length > 0 ? sung : voice.range ? [voice.range.low, voice.range.high] : [];
  const [low, high] = [Math.min(...all), Math.max(...all)];
  if (high > range.high) return `up to ${pitchName(high)}, above what ${name} sings with ease`;
  return low < range.low ? `down to ${pitchName(low)}, below what ${name} sings with ease` : null;
}

function singingFor(timeline: Timeline, from: Player, to: Player, { voices, taken }: VoicesAfter) {
  const { song } = timeline;
  const singing: Singing[] = [];
  const left: string[] = [];
  const after = song.voices.map((voice) => ({
    ...voice,
    ...voices.find(({ voiceId }) => voiceId === voice.id),
  }));
  for (const entry of song.singing) {
    if (entry.playerId !== from.id) continue;
    const voice = song.voices.find(({ id }) => id === entry.voiceId);
    if (!voice) continue;
    const other = after.find(
      ({ id, playerId }) =>
        id !== voice.id &&
        (playerId === to.id ||
          song.singing.some(
            (each) => each.passId === entry.passId && each.voiceId === id && each.playerId === to.id,
          )),
    );
    const why = other
      ? `sings the ${calledOf(other)} there`
      : voice === taken
        ? null
        : cannotSing(song, voice, to, null);
    singing.push({ ...entry, playerId: why === null ? to.id : null });
    if (why !== null)
      left.push(`${whereSaid(timeline, entry)}, the ${calledOf(voice)}: ${to.name} ${why}; nobody sings it`);
  }
  return { singing, left };
}

function whereSaid(timeline: Timeline, { passId, voiceId, noteId }: Singing): string {
  const at = timeline.notes.get(voiceId)?.find((one) => one.note.id === noteId && one.passId === passId);
  if (at) return `from bar ${timeline.barAt(at.startTick).number} on`;
  const placed = timeline.passes.find(({ pass }) => pass?.id === passId);
  return placed ? passSaid(timeline, placed) : 'there';
}

const calledOf = (voice: Voice): string => (voice.part === 'other' ? voice.name || 'harmony' : voice.part);
