import type { OneMicrophone } from '../song';
import type { Space, Stretch } from '../spaces';
import type { TempoMap, Ticks } from '../time';
import { type Busy, isSilent, readingsOf, runsOf, standingFills } from './busy';
import type { FreedomContext } from './types';

/**
 * Who is heard at the one microphone, and who could get to it in time.
 *
 * Model: whoever sings, or plays a fill or a break, is heard; backup is not. What is heard without a pause long enough for a change (the
 * longer of the band's ways in and out) is one spell. Who is heard in a spell stands there as it ends, and nobody else, but that an instrument
 * whose player stands there already moves nobody. Between two spells, whoever is not there yet comes in, from the end of the one to the
 * start of the next, and the others go out in the same time. Voices share the microphone: a voice may join at any time whoever sings there, or
 * plays and is about to sing. An instrument comes in when nobody is heard.
 */
export interface Heard extends Stretch {
  /** A player's id; for a voice that no player sings: `voice:` and its id. */
  readonly who: string;
  readonly how: 'sings' | 'plays';
  /** The space whose fill it is; null: it is none. */
  readonly spaceId: string | null;
  /** True for a whole pass that is played. */
  readonly isBreak: boolean;
}

/** What is heard at the microphone with no pause in which anybody could come in. */
export interface Spell extends Stretch {
  /** In order of their starts. */
  readonly heard: readonly Heard[];
  readonly who: ReadonlySet<string>;
  readonly sung: boolean;
  /** Who stands at the microphone as it ends. */
  readonly there: ReadonlySet<string>;
}

type Blocked = Omit<Busy, 'reach'>;

/** Seconds are taken to be equal within this. */
const NEARLY = 1e-6;

export const changeSeconds = ({ inSeconds, outSeconds }: OneMicrophone): number =>
  Math.max(inSeconds, outSeconds);

/** The first tick that lies some seconds after another, and the last that lies some seconds before it. */
export const tickAfter = (tempo: TempoMap, tick: Ticks, seconds: number): Ticks =>
  Math.ceil(tempo.tick(tempo.seconds(tick) + seconds) - NEARLY);
export const tickBefore = (tempo: TempoMap, tick: Ticks, seconds: number): Ticks =>
  Math.floor(tempo.tick(tempo.seconds(tick) - seconds) + NEARLY);

/** All that is heard at the microphone, in order of the starts. */
export function heardIn(context: FreedomContext, { places }: OneMicrophone): readonly Heard[] {
  const { timeline, players } = context;
  const { singing } = readingsOf(context);
  const ids = new Set(places);
  const heard: Heard[] = [];
  timeline.passes.forEach((placed, i) => {
    const taken = new Set<string>();
    const sing = (voiceId: string, playerId: string | null) => {
      for (const { startTick, endTick, singer } of runsOf(timeline, voiceId, placed)) {
        const who = playerId ?? (singer !== null && ids.has(singer) ? singer : `voice:${voiceId}`);
        heard.push({ who, how: 'sings', spaceId: null, isBreak: false, startTick, endTick });
      }
    };
    for (const { id } of players) {
      const part = singing.get(id)?.[i];
      if (!part) continue;
      taken.add(part.voiceId);
      sing(part.voiceId, id);
    }
    for (const voiceId of timeline.notes.keys()) if (!taken.has(voiceId)) sing(voiceId, null);
    const { pass, startTick, endTick } = placed;
    if (!pass || !isSilent(timeline, placed)) return;
    for (const [id, role] of Object.entries(pass.roles))
      if (role === 'break' && ids.has(id))
        heard.push({ who: id, how: 'plays', spaceId: null, isBreak: true, startTick, endTick });
  });
  for (const { playerId: who, spaceId, startTick, endTick } of standingFills(context))
    if (ids.has(who)) heard.push({ who, how: 'plays', spaceId, isBreak: false, startTick, endTick });
  return heard.sort((a, b) => a.startTick - b.startTick);
}

/** The spells that what is heard makes. O(n). */
export function spellsOf(
  heard: readonly Heard[],
  microphone: OneMicrophone,
  tempo: TempoMap,
): readonly Spell[] {
  const change = changeSeconds(microphone);
  const groups: { heard: Heard[]; endTick: Ticks }[] = [];
  for (const each of heard) {
    const last = groups[groups.length - 1];
    if (last && tempo.between(last.endTick, each.startTick) < change - NEARLY) {
      last.heard.push(each);
      last.endTick = Math.max(last.endTick, each.endTick);
    } else groups.push({ heard: [each], endTick: each.endTick });
  }
  let before: ReadonlySet<string> = new Set();
  return groups.map(({ heard: own, endTick }) => {
    const who = new Set(own.map((each) => each.who));
    const sung = own.some(({ how }) => how === 'sings');
    const movesNobody = !sung && [...who].every((id) => before.has(id));
    before = movesNobody ? before : who;
    return { heard: own, who, sung, there: before, startTick: own[0]?.startTick ?? 0, endTick };
  });
}

const known = new WeakMap<FreedomContext, Map<string, readonly Spell[]>>();
const ALL = '';

/**
 * The spells of a context, remembered with it. With a space: without what is settled on it (and the break that it is), since the band may
 * think again.
 */
export function spellsIn(
  context: FreedomContext,
  microphone: OneMicrophone,
  space: Space | null = null,
): readonly Spell[] {
  const before = known.get(context) ?? new Map<string, readonly Spell[]>();
  known.set(context, before);
  const isOwn = (each: Heard): boolean =>
    space !== null &&
    (each.spaceId === space.id ||
      (each.isBreak &&
        space.kind === 'instrumental' &&
        each.startTick < space.endTick &&
        each.endTick > space.startTick));
  const all = before.get(ALL);
  const key = space === null || all?.every(({ heard }) => !heard.some(isOwn)) ? ALL : space.id;
  const kept = before.get(key);
  if (kept) return kept;
  const heard = heardIn(context, microphone);
  const spells = spellsOf(
    space === null ? heard : heard.filter((each) => !isOwn(each)),
    microphone,
    context.timeline.tempo,
  );
  before.set(key, spells);
  return spells;
}

/** When a player could not be heard in a space, because of the microphone. */
export function microphoneBusy(space: Space, playerId: string, context: FreedomContext): readonly Blocked[] {
  const { microphone, timeline } = context;
  if (!microphone) return [];
  const change = changeSeconds(microphone);
  // The spells of all that is settled are looked at first, so that most spaces can share them.
  spellsIn(context, microphone);
  const spells = spellsIn(context, microphone, space);
  const blocked: Blocked[] = [];
  const comesIn = { kind: 'comes in' } as const;
  spells.forEach((spell, i) => {
    const { startTick, endTick, who } = spell;
    const from = tickBefore(timeline.tempo, startTick, change);
    const to = tickAfter(timeline.tempo, endTick, change);
    if (to <= space.startTick || from >= space.endTick) return;
    const before = spells[i - 1]?.there ?? null;
    const wasThere = before?.has(playerId) ?? false;
    const stays = wasThere && before ? before : new Set([playerId]);
    const comers = [...who].filter((id) => !stays.has(id));
    const sung = isSung(spell, comers);
    if (comers.length > 0 && !(sung && who.has(playerId))) {
      const why = { kind: 'makes room', for: comers, sung } as const;
      blocked.push({ startTick: from, endTick: startTick, why });
    }
    if (!spell.there.has(playerId)) blocked.push({ startTick, endTick: to, why: comesIn });
    else if (!wasThere && firstOf(spell, playerId) > startTick)
      blocked.push({ startTick, endTick: firstOf(spell, playerId), why: comesIn });
  });
  return blocked.filter((each) => each.startTick < space.endTick && each.endTick > space.startTick);
}

const isSung = ({ heard }: Spell, who: readonly string[]): boolean =>
  heard.every((each) => each.how === 'sings' || !who.includes(each.who));

/** Where a player is heard first in a spell; its end where they are not. */
export const firstOf = ({ heard, endTick }: Spell, who: string): Ticks =>
  heard.find((each) => each.who === who)?.startTick ?? endTick;

/** Whether somebody heard in a spell sings in it, there or later: then others may join them. */
export const isAVoice = ({ who, how }: Heard, heard: readonly Heard[]): boolean =>
  how === 'sings' || heard.some((each) => each.who === who && each.how === 'sings');
