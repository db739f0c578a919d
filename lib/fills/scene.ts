import { fail, itemAt, lastOf, must, ok, type Result } from '../base';
import { DEFAULT_SPAN_MILLIMETRES, type Setup, type StrokeRule } from '../instruments';
import { keyAt, type PitchRange, type PlacedBar, type Timeline } from '../song';
import type { Space } from '../spaces';
import { type Chord, type Key, type PitchClass, parseChord, scaleOf } from '../theory';
import { barTicks, beatStrength, beatTicks, isCompound, type Meter, type Ticks } from '../time';
import { SIXTEENTHS_UP_TO, STRAIN, USUAL_COMFORT } from './costs';
import type { OfferRequest } from './types';

/** A chord for as long as it holds in a space. */
export interface Harmony {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly chord: Chord;
  /** False where no chord (or none that can be read) is written, and the key note's chord stands in. */
  readonly given: boolean;
}

/** One place of the time grid on which a note may stand. */
export interface Slot {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  /** As `beatStrength`. */
  readonly strength: number;
  readonly harmony: Harmony;
  /** The chord that begins within an eighth, where the slot is off the beat; null: none does. */
  readonly soon: Harmony | null;
  /** True on the first beat of a chord that lasts two beats of the space or more; left out: it is not. */
  readonly opens?: boolean;
}

/** What is asked of a scene beyond the usual, for another turn of the same idea. */
export interface Wish {
  /** Which of the seeded differences: 0 is the usual one. */
  readonly turn: number;
  /** Semitones by which lines lie higher than usual; below 0: lower. */
  readonly lift: number;
  /** The fret (from the capo) from which held shapes are looked for; 0: near the nut or capo. */
  readonly neck: number;
}

const USUAL: Wish = { turn: 0, lift: 0, neck: 0 };

/** All that a writer of fills looks at: the space, what holds in it, what comes before and after. */
export interface Scene {
  readonly timeline: Timeline;
  readonly space: Space;
  readonly setup: Setup;
  readonly rule: StrokeRule;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Where high and busy fills end. */
  readonly guardEnd: Ticks;
  /** Until where a note from before is still held. */
  readonly tailEnd: Ticks;
  readonly quartersPerMinute: number;
  readonly comfortEighthsPerMinute: number;
  readonly key: Key;
  readonly scale: readonly PitchClass[];
  readonly harmonies: readonly Harmony[];
  /** What holds when the space is over. */
  readonly next: Harmony;
  /** The chord that begins after that, where one does. */
  readonly after: Harmony | null;
  readonly sungBefore: number | null;
  readonly sungNext: number | null;
  /** What is heard around the space: somebody who sings words, or a tune without any. */
  readonly leader: 'the singer' | 'the tune';
  /** True where a section, a pass or the song ends in the space or with it. */
  readonly closing: boolean;
  /** True where the song itself ends with the space. */
  readonly final: boolean;
  /** Lengths of the grid that a player can fill, the usual one first; see `slotsOf`. */
  readonly steps: readonly Ticks[];
  /** Set where only a part of a long space is used. */
  readonly cut: 'its end' | 'its beginning' | null;
  readonly wish: Wish;
  /** Widest stretch from index to little finger. */
  readonly spanMillimetres: number;
  /** For a voice: its lowest and highest note; null: not told. */
  readonly voiceRange: PitchRange | null;
}

const EIGHTH = 480;
const SIXTEENTH = 240;
const LONGEST_STEP = 1920;

/** A fill lasts four bars of 4/4 at most: in a longer space it leads into what is sung next, or follows what was sung last. */
const LONGEST_FILL: Ticks = 16 * 960;

/** The part of a space that a fill may use, on whole bars where it is cut. */
function windowOf(timeline: Timeline, space: Space): { readonly startTick: Ticks; readonly endTick: Ticks } {
  const { startTick, endTick } = space;
  if (endTick - startTick <= LONGEST_FILL) return { startTick, endTick };
  if (space.before === null) return { startTick, endTick: startTick + LONGEST_FILL };
  const bar = timeline.barAt(endTick - LONGEST_FILL);
  const from = bar.startTick === endTick - LONGEST_FILL ? bar.startTick : bar.endTick;
  return { startTick: from > startTick && from < endTick ? from : endTick - LONGEST_FILL, endTick };
}

/** Reads a request; a Problem where the timeline or the space has nothing to play over. */
export function sceneOf(request: OfferRequest): Result<Scene> {
  const { timeline, space, setup } = request;
  if (timeline.bars.length === 0)
    return fail('the song has no bars', 'the song', 'bring in a song with at least one bar');
  if (space.endTick <= space.startTick)
    return fail('the space has no length', `bar ${space.bar}`, 'choose a space that lasts some beats');
  const { startTick, endTick } = windowOf(timeline, space);
  const cut = endTick - startTick < space.endTick - space.startTick;
  const quartersPerMinute = timeline.tempo.tempoAt(startTick);
  const comfort = request.comfortEighthsPerMinute ?? USUAL_COMFORT[setup.instrument];
  const key = keyAt(timeline, startTick);
  const harmonies = harmoniesIn(timeline, key, startTick, endTick);
  const next = harmonyAt(timeline, key, endTick) ?? lastOf(harmonies);
  return ok({
    timeline,
    space,
    setup,
    rule: request.rule,
    startTick,
    endTick,
    guardEnd: Math.min(endTick, Math.max(startTick, space.endTick - Math.max(0, space.guardTicks))),
    tailEnd: space.startTick + space.tailTicks,
    quartersPerMinute,
    comfortEighthsPerMinute: comfort,
    key,
    scale: scaleOf(key),
    harmonies,
    next,
    after: harmonyAt(timeline, key, next.endTick),
    sungBefore: startTick > space.startTick ? null : (space.after?.note.midi ?? null),
    sungNext: endTick < space.endTick ? null : (space.before?.note.midi ?? null),
    leader: leaderAround(timeline, space),
    closing: closes(timeline, space),
    final: space.before === null && endTick >= lastOf(timeline.bars).endTick,
    steps: stepsFor(
      quartersPerMinute,
      comfort,
      timeline.song.feel.ratio > 1,
      timeline.barAt(startTick).bar.meter,
    ),
    cut: !cut ? null : space.before === null ? 'its beginning' : 'its end',
    wish: USUAL,
    spanMillimetres: request.spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    voiceRange: request.voiceRange ?? null,
  });
}

/**
 * Eighths where the player can play them with some effort, else quarters or longer; sixteenths too where there is much time,
 * but not where eighths are swung. In compound meters the beat comes after its third parts, and no notes cut across it.
 */
export function stepsFor(
  quartersPerMinute: number,
  comfort: number,
  swung: boolean,
  meter: Meter,
): readonly Ticks[] {
  let step = EIGHTH;
  let perMinute = 2 * quartersPerMinute;
  if (isCompound(meter)) {
    const beat = beatTicks(meter);
    return [perMinute > comfort * STRAIN ? beat : Math.max(EIGHTH, beat / 3)];
  }
  while (perMinute > comfort * STRAIN && step < LONGEST_STEP) {
    step *= 2;
    perMinute /= 2;
  }
  const sixteenths = !swung && step === EIGHTH && 2 * perMinute <= comfort * SIXTEENTHS_UP_TO;
  return sixteenths ? [EIGHTH, SIXTEENTH] : [step];
}

function tonicChord(key: Key): Chord {
  const minor = scaleOf(key).includes((itemAt(scaleOf(key), 0) + 3) % 12);
  return must(parseChord(key.tonic + (minor ? 'm' : '')), 'a chord on the key note');
}

export function harmoniesIn(timeline: Timeline, key: Key, from: Ticks, to: Ticks): readonly Harmony[] {
  const found: Harmony[] = [];
  let tick = from;
  for (const placed of timeline.chordsIn(from, to)) {
    const start = Math.max(from, placed.startTick);
    if (start > tick) found.push({ startTick: tick, endTick: start, chord: tonicChord(key), given: false });
    const chord = parseChord(placed.symbol);
    const end = Math.min(to, placed.endTick);
    if (end <= start) continue;
    found.push({
      startTick: start,
      endTick: end,
      chord: chord ?? tonicChord(key),
      given: chord !== null,
    });
    tick = end;
  }
  if (tick < to) found.push({ startTick: tick, endTick: to, chord: tonicChord(key), given: false });
  return found;
}

function harmonyAt(timeline: Timeline, key: Key, tick: Ticks): Harmony | null {
  const placed = timeline.chordAt(tick);
  if (!placed) return null;
  const chord = parseChord(placed.symbol);
  return {
    startTick: placed.startTick,
    endTick: placed.endTick,
    chord: chord ?? tonicChord(key),
    given: chord !== null,
  };
}

function leaderAround(timeline: Timeline, space: Space): Scene['leader'] {
  const voiceId = (space.before ?? space.after)?.voiceId;
  const words = timeline.song.notes.some(
    (note) => note.voiceId === voiceId && note.syllables.some((each) => each !== null && each.text !== ''),
  );
  return words ? 'the singer' : 'the tune';
}

function closes(timeline: Timeline, space: Space): boolean {
  if (space.kind === 'closing' || space.before === null) return true;
  return timeline.passes.some((pass) => pass.endTick > space.startTick && pass.endTick <= space.endTick);
}

/** Where a bar's beats count from: a pickup counts back from its barline. */
export function barOrigin(placed: PlacedBar): Ticks {
  return placed.bar.pickup
    ? placed.endTick - Math.max(placed.bar.ticks, barTicks(placed.bar.meter))
    : placed.startTick;
}

/** How strong a place of the timeline is, by its own bar's meter. */
export function strengthAt(timeline: Timeline, tick: Ticks): number {
  const placed = timeline.barAt(tick);
  return beatStrength(placed.bar.meter, tick - barOrigin(placed));
}

/**
 * The whole places of the grid between two ticks; each bar's grid counts from its own barline. In compound meters a step of two
 * parts of the beat is long and short by turns (a quarter and an eighth in 6/8), so that each beat has its note.
 */
export function slotsOf(scene: Scene, step: Ticks, from: Ticks, to: Ticks): readonly Slot[] {
  const slots: Slot[] = [];
  const first = scene.timeline.bars.indexOf(scene.timeline.barAt(from));
  for (let i = first; i < scene.timeline.bars.length; i++) {
    const placed = itemAt(scene.timeline.bars, i);
    if (placed.startTick >= to) break;
    const origin = barOrigin(placed);
    const start = Math.max(from, placed.startTick);
    const end = Math.min(to, placed.endTick);
    for (const { offset, ticks } of gridOf(placed.bar.meter, step, end - origin)) {
      const tick = origin + offset;
      if (tick < start) continue;
      const harmony = holding(scene, tick);
      const strength = beatStrength(placed.bar.meter, offset);
      const soon = soonAfter(scene, tick, strength, harmony);
      const opens = strength >= 2 && isOpening(scene, tick, harmony, beatTicks(placed.bar.meter));
      slots.push({ tick, ticks, strength, harmony, soon, opens });
    }
  }
  return slots;
}

function gridOf(
  meter: Meter,
  step: Ticks,
  until: Ticks,
): readonly { readonly offset: Ticks; readonly ticks: Ticks }[] {
  const beat = beatTicks(meter);
  const lilts = isCompound(meter) && step * 3 === beat * 2;
  const places: { offset: Ticks; ticks: Ticks }[] = [];
  for (let offset = 0; ; ) {
    const ticks = lilts && offset % beat !== 0 ? beat - step : step;
    if (offset + ticks > until) return places;
    places.push({ offset, ticks });
    offset += ticks;
  }
}

/** Whether a place is within the first beat of a chord that lasts two; one that is only written again goes on. */
function isOpening(scene: Scene, tick: Ticks, harmony: Harmony, beat: Ticks): boolean {
  const before = scene.harmonies[scene.harmonies.indexOf(harmony) - 1];
  const goesOn = before?.chord.symbol === harmony.chord.symbol;
  return !goesOn && harmony.endTick - harmony.startTick >= 2 * beat && tick - harmony.startTick < beat;
}

/** The harmony that holds at a tick of the space. */
export function holding(scene: Scene, tick: Ticks): Harmony {
  return scene.harmonies.find((harmony) => harmony.endTick > tick) ?? lastOf(scene.harmonies);
}

/** Off the beat a chord may be played at most this long before it begins: the last eighth. Common practice, no source. */
export const A_LITTLE_EARLY: Ticks = 480;

function soonAfter(scene: Scene, tick: Ticks, strength: number, harmony: Harmony): Harmony | null {
  if (strength >= 2 || harmony.endTick > tick + A_LITTLE_EARLY) return null;
  const then = scene.harmonies.find((other) => other.startTick >= harmony.endTick) ?? scene.next;
  return then.chord.root === harmony.chord.root ? null : then;
}

/** The last place on a beat, where a line comes to rest; the last place of all where no beat is near the end. */
export function landingIndex(slots: readonly Slot[]): number {
  for (let i = slots.length - 1; i >= Math.max(0, slots.length - 4); i--) {
    if (itemAt(slots, i).strength >= 2) return i;
  }
  return slots.length - 1;
}
