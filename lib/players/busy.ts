import { itemAt } from '../base';
import type { Answer, PlacedNote, PlacedPass, Player, Role, Timeline } from '../song';
import { BeatClock, type Stretch, spaceAt, tickOfPlace } from '../spaces';
import { TICKS_PER_QUARTER, type Ticks } from '../time';
import { FREEDOM_RULES } from './rules';
import { type Singing, singingOf } from './singers';
import type { FreedomContext } from './types';

/** A stretch in which a player cannot play a fill, with what a musician would say about it. */
export interface Busy {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** The largest end among this one and those before it in its list. */
  readonly reach: Ticks;
  readonly why:
    | { readonly kind: 'sings'; readonly called: string; readonly onset: Ticks }
    | { readonly kind: 'fill'; readonly spaceId: string | null; readonly onset: Ticks }
    | { readonly kind: 'break ahead'; readonly onset: Ticks }
    | { readonly kind: 'break here' }
    | { readonly kind: 'break of'; readonly holders: readonly string[] }
    | { readonly kind: 'lays out'; readonly pass: PlacedPass }
    /** Not at the one microphone yet. */
    | { readonly kind: 'comes in' }
    /** Goes out from it, so that others can come in to sing (or also to play). */
    | { readonly kind: 'makes room'; readonly for: readonly string[]; readonly sung: boolean };
}

type Found = Omit<Busy, 'reach'>;

/** What a context says about its players, worked out once. */
export interface Readings {
  readonly clock: BeatClock;
  /** By player id; in order of their starts. */
  readonly busy: ReadonlyMap<string, readonly Busy[]>;
  /** By player id, then pass by pass. */
  readonly singing: ReadonlyMap<string, readonly (Singing | null)[]>;
}

const known = new WeakMap<FreedomContext, Readings>();

/** The readings of a context, remembered with it. O(players × (passes + notes)) the first time. */
export function readingsOf(context: FreedomContext): Readings {
  const before = known.get(context);
  if (before) return before;
  const { timeline, players } = context;
  const clock = new BeatClock(timeline);
  const singing = new Map(
    players.map((player) => [
      player.id,
      timeline.passes.map((placed) => singingOf(player, placed.pass, timeline)),
    ]),
  );
  const fills = fillsOf(context, clock);
  const busy = new Map(
    players.map((player) => [
      player.id,
      inOrder([
        ...sungStretches(timeline, clock, singing.get(player.id) ?? []),
        ...roleStretches(context, clock, player),
        ...(fills.get(player.id) ?? []),
      ]),
    ]),
  );
  const readings = { clock, busy, singing };
  known.set(context, readings);
  return readings;
}

function inOrder(found: Found[]): Busy[] {
  let reach = Number.NEGATIVE_INFINITY;
  return found
    .sort((a, b) => a.startTick - b.startTick)
    .map((each) => {
      reach = Math.max(reach, each.endTick);
      return { ...each, reach };
    });
}

/** The longer of some counted beats and some seconds before a tick, in ticks. */
function timeBefore(
  tick: Ticks,
  beats: number,
  seconds: number,
  timeline: Timeline,
  clock: BeatClock,
): Ticks {
  const quarters = (seconds * timeline.tempo.tempoAt(tick)) / 60;
  return Math.max(tick - clock.stepBeats(tick, -beats), Math.ceil(quarters * TICKS_PER_QUARTER));
}

/** What a player sings without a rest, each with the time to come back before it. */
function sungStretches(timeline: Timeline, clock: BeatClock, singing: readonly (Singing | null)[]): Found[] {
  const { singerReturnBeats, singerReturnSeconds } = FREEDOM_RULES;
  const stretches: Found[] = [];
  timeline.passes.forEach((placed, i) => {
    const part = singing[i];
    if (!part) return;
    for (const run of runsOf(timeline, part.voiceId, placed)) {
      const back = timeBefore(run.startTick, singerReturnBeats, singerReturnSeconds, timeline, clock);
      stretches.push({
        startTick: run.startTick - back,
        endTick: run.endTick,
        why: { kind: 'sings', called: part.called, onset: run.startTick },
      });
    }
  });
  return stretches;
}

/** A voice's notes in a pass, those without a rest between them made one; with who sings its first, where that is said. */
export function runsOf(timeline: Timeline, voiceId: string, placed: PlacedPass) {
  const runs: { startTick: Ticks; endTick: Ticks; singer: string | null }[] = [];
  for (const { startTick, endTick, singer } of notesIn(timeline.notes.get(voiceId) ?? [], placed)) {
    const last = runs[runs.length - 1];
    if (last && startTick <= last.endTick) last.endTick = endTick;
    else runs.push({ startTick, endTick, singer });
  }
  return runs;
}

function notesIn(notes: readonly PlacedNote[], placed: PlacedPass): readonly PlacedNote[] {
  return notes.slice(firstFrom(notes, placed.startTick), firstFrom(notes, placed.endTick));
}

function firstFrom(notes: readonly PlacedNote[], tick: Ticks): number {
  let low = 0;
  let high = notes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (itemAt(notes, middle).startTick < tick) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** What a player's roles, and the others' breaks, keep them from. */
function roleStretches(context: FreedomContext, clock: BeatClock, player: Player): Found[] {
  const stretches: Found[] = [];
  for (const placed of context.timeline.passes) {
    const { startTick, endTick, pass } = placed;
    if (!pass) continue;
    const role: Role | undefined = pass.roles[player.id];
    const silent = isSilent(context.timeline, placed);
    const holders = context.players.filter((each) => pass.roles[each.id] === 'break');
    if (role === 'lay out') stretches.push({ startTick, endTick, why: { kind: 'lays out', pass: placed } });
    if (role === 'break') {
      const { bar } = clock.barBefore(startTick);
      const ahead = FREEDOM_RULES.barsBeforeBreak * bar.ticks;
      if (startTick > 0) {
        stretches.push({
          startTick: startTick - ahead,
          endTick: startTick,
          why: { kind: 'break ahead', onset: startTick },
        });
      }
      if (!silent) stretches.push({ startTick, endTick, why: { kind: 'break here' } });
    } else if (silent && holders.length > 0 && role !== 'lay out') {
      const names = holders.map((each) => each.name);
      stretches.push({ startTick, endTick, why: { kind: 'break of', holders: names } });
    }
  }
  return stretches;
}

/** True where no voice sounds in the pass at all. */
export function isSilent(timeline: Timeline, placed: PlacedPass): boolean {
  if (placed.pass?.stanza === null) return true;
  return [...timeline.notes.values()].every((notes) => {
    const first = notes[firstFrom(notes, placed.startTick)];
    return !first || first.startTick >= placed.endTick;
  });
}

/** A fill (or an 'ad lib') that stands, from its first note to the end of its last. */
export interface StandingFill extends Stretch {
  readonly playerId: string;
  /** The space that it belongs to; null where there is none any more. */
  readonly spaceId: string | null;
}

/** The fills that stand, one for a place. */
export function standingFills({ timeline, settled, spaces }: FreedomContext): readonly StandingFill[] {
  const standing = new Map<string, Answer>();
  for (const answer of settled) standing.set(`${answer.place.passId} ${answer.place.noteId}`, answer);
  const fills: StandingFill[] = [];
  for (const { place, extent, holding } of standing.values()) {
    const from = tickOfPlace(timeline, place);
    if (from === null || holding.kind === 'left open') continue;
    const notes = holding.kind === 'fill' ? holding.fill.notes : [];
    const first = notes.length > 0 ? Math.min(...notes.map((note) => note.tick)) : extent.from;
    const last = notes.length > 0 ? Math.max(...notes.map((note) => note.tick + note.ticks)) : extent.to;
    fills.push({
      playerId: holding.playerId,
      spaceId: spaceAt(spaces, place, timeline)?.id ?? null,
      startTick: from + first,
      endTick: from + last,
    });
  }
  return fills;
}

/** The fills that stand, by holder, each with the time that a player needs around it. */
function fillsOf(context: FreedomContext, clock: BeatClock): Map<string, Found[]> {
  const { timeline } = context;
  const { betweenFillsBeats, betweenFillsSeconds } = FREEDOM_RULES;
  const fills = new Map<string, Found[]>();
  for (const { playerId, spaceId, startTick: onset, endTick } of standingFills(context)) {
    const apart = timeBefore(Math.max(1, onset), betweenFillsBeats, betweenFillsSeconds, timeline, clock);
    const list = fills.get(playerId) ?? [];
    list.push({
      startTick: onset - apart,
      endTick: endTick + apart,
      why: { kind: 'fill', spaceId, onset },
    });
    fills.set(playerId, list);
  }
  return fills;
}
