import { itemAt } from '../base';
import type { PlacedNote, PlacedPass, Timeline } from '../song';
import { beatTicks, type Ticks } from '../time';
import { BeatClock, guardBefore, secondsIn } from './clock';
import { FeltBeats } from './half-time';
import { findPhrases, leadEnds, leadVoice } from './phrases';
import { notePlace, spaceId, startPlace } from './place';
import { countUpTo, joinStretches, type Stretch, without } from './stretches';
import { SungNotes } from './sung-notes';
import type { Phrase, Space, SpaceKind, SpaceOptions } from './types';
import { usualTicks } from './voice-line';

/**
 * A beat of rest is a catch-breath and two beats are a space (common practice, no source): the line is drawn
 * between them, so that a rest and a half, which some play in, counts.
 */
export const DEFAULT_SPACE_OPTIONS: SpaceOptions = { minBeats: 1.5, ignoreWords: false };

/** A phrase's last note has a tail if it lasts this many counted beats, and this much longer than its neighbours. */
const TAIL_BEATS = 2;
const TAIL_AGAINST_NEIGHBOURS = 1.5;

/** Phrases and spaces of a timeline, the phrases found once. */
export function phrasesAndSpaces(
  timeline: Timeline,
  options: SpaceOptions = DEFAULT_SPACE_OPTIONS,
): { phrases: Phrase[]; spaces: Space[] } {
  const phrases = findPhrases(timeline, options);
  return { phrases, spaces: spacesOfPhrases(timeline, phrases, options) };
}

/** The spaces of a timeline whose phrases are known; as `findSpaces`. */
export function spacesOfPhrases(
  timeline: Timeline,
  phrases: readonly Phrase[],
  options: SpaceOptions = DEFAULT_SPACE_OPTIONS,
): Space[] {
  const lead = leadVoice(timeline)?.id;
  const ends = phrases.filter((phrase) => phrase.voiceId === lead).map((phrase) => phrase.lastNote);
  return spacesAmong(timeline, ends, options);
}

/**
 * The spaces of a timeline in time order; no two overlap.
 *
 * - In a pass (as written: a section) in which nobody sings, the whole pass is one space, `instrumental`.
 * - Elsewhere every stretch in which no voice sounds is a space, to the tick, across barlines and from one sung pass
 *   into the next, cut only where an instrumental pass begins or ends: `opening` before the first sung note of
 *   all, `closing` after the last, else `between`.
 * - What then remains of a stretch in which the leading voice is silent is `half-open`.
 * - Where a phrase of the leading voice ends in a held note and too little silence follows it to be a space, a fill may
 *   begin under its tail: `under-tail`, from the first beat after the note's own body (as long as its neighbours, to the
 *   nearest beat, one at least) to the next note. The tail is a note of two beats or more that is half as long again as its
 *   neighbours, and it is over where another voice moves: then the space begins a beat after the last such move.
 *
 * A stretch counts if it lasts `minBeats`. In half time (see `FeltBeats`) two counted beats are one that is felt: a space, a tail and the most that a guard may
 * take are then twice as many counted beats; the numbers of a space stay in counted ones. Under a fermata time stands: beats are counted on as written, and the seconds of
 * what lies under the note are twice as many (common practice, no source).
 */
export function findSpaces(timeline: Timeline, options: SpaceOptions = DEFAULT_SPACE_OPTIONS): Space[] {
  return spacesAmong(timeline, leadEnds(timeline, options), options);
}

function spacesAmong(timeline: Timeline, ends: readonly number[], options: SpaceOptions): Space[] {
  if (timeline.bars.length === 0) return [];
  const clock = new BeatClock(timeline);
  const lead = leadVoice(timeline);
  const leading = (lead ? timeline.notes.get(lead.id) : undefined) ?? [];
  const sung = new SungNotes(timeline, lead?.id ?? null);
  const silentPasses = timeline.passes.filter((pass) => !sung.beginsIn(pass));
  const sungTime = without([{ startTick: 0, endTick: timeline.endTick }], joinStretches(silentPasses));
  const felt = new FeltBeats(timeline, leading);
  const longEnough = ({ startTick, endTick }: Stretch) =>
    clock.beatsBetween(startTick, endTick) >= options.minBeats * felt.at(startTick) - 1e-9 &&
    endTick > startTick;

  const open = without(sungTime, joinStretches(sung.byOnset)).filter(longEnough);
  const leadless = without(sungTime, joinStretches(leading));
  const halfOpen = leading.length === 0 ? [] : without(leadless, open).filter(longEnough);
  // A silence that is a space by itself is never one under a tail, not even where only longer spaces are asked for.
  const silence = Math.min(options.minBeats, DEFAULT_SPACE_OPTIONS.minBeats);
  const tails = findTails({ clock, felt, ends, leading, sung, sungTime }).filter(
    (tail) =>
      longEnough(tail) && clock.beatsBetween(tail.letsGo, tail.comesIn) < silence * felt.at(tail.startTick),
  );
  const make = (stretch: Stretch, kind: SpaceKind, tailTicks: Ticks) =>
    toSpace({ timeline, clock, felt, sung, stretch, kind, tailTicks });
  return [
    ...silentPasses.filter(longEnough).map((pass) => make(pass, 'instrumental', 0)),
    ...open.map((stretch) => make(stretch, openKind(stretch, sung), 0)),
    ...halfOpen.map((stretch) => make(stretch, 'half-open', 0)),
    ...tails.map((tail) => make(tail, 'under-tail', Math.min(tail.letsGo, tail.endTick) - tail.startTick)),
  ].sort((a, b) => a.startTick - b.startTick);
}

function openKind({ startTick, endTick }: Stretch, sung: SungNotes): SpaceKind {
  if (endTick <= sung.firstOnset) return 'opening';
  return startTick >= sung.lastEnd ? 'closing' : 'between';
}

interface Tail extends Stretch {
  /** Where the leading voice lets go, and where it comes in again (or the sung stretch ends). */
  readonly letsGo: Ticks;
  readonly comesIn: Ticks;
}

interface TailInput {
  readonly clock: BeatClock;
  readonly felt: FeltBeats;
  /** The last notes of the leading voice's phrases. */
  readonly ends: readonly number[];
  readonly leading: readonly PlacedNote[];
  readonly sung: SungNotes;
  /** Passes in which somebody sings, neighbours made one. */
  readonly sungTime: readonly Stretch[];
}

/** The stretches under the tails of the leading voice's phrase ends, with the little silence after them. */
function findTails({ clock, felt, ends, leading, sung, sungTime }: TailInput): Tail[] {
  const tails: Tail[] = [];
  for (const end of ends) {
    const last = itemAt(leading, end);
    const length = last.endTick - last.startTick;
    const usual = usualTicks(leading, end);
    const beat = beatTicks(clock.barAt(last.startTick).bar.meter) * felt.at(last.startTick);
    if (length < TAIL_BEATS * beat || length < TAIL_AGAINST_NEIGHBOURS * usual) continue;
    const stretchEnd = sungTime.find((stretch) => stretch.endTick > last.startTick)?.endTick ?? last.endTick;
    const comesIn = Math.min(leading[end + 1]?.startTick ?? stretchEnd, stretchEnd);
    const from = clock.nextBeat(last.startTick + Math.max(1, Math.round(usual / beat)) * beat);
    const still = longestStill(sung.onsetsBetween(from, comesIn), from, comesIn, clock);
    if (still.startTick < last.endTick) tails.push({ ...still, letsGo: last.endTick, comesIn });
  }
  return tails;
}

/** The longest part of a stretch (the first among equals) in which no voice begins a note; after each, a beat goes by first. */
function longestStill(onsets: readonly Ticks[], from: Ticks, to: Ticks, clock: BeatClock): Stretch {
  let longest: Stretch = { startTick: from, endTick: from };
  let startTick = from;
  for (const onset of [...onsets, to]) {
    if (onset - startTick > longest.endTick - longest.startTick) longest = { startTick, endTick: onset };
    startTick = clock.stepBeats(onset, 1);
  }
  return longest;
}

interface SpaceInput {
  readonly timeline: Timeline;
  readonly clock: BeatClock;
  readonly felt: FeltBeats;
  readonly sung: SungNotes;
  readonly stretch: Stretch;
  readonly kind: SpaceKind;
  readonly tailTicks: Ticks;
}

function toSpace({ timeline, clock, felt, sung, stretch, kind, tailTicks }: SpaceInput): Space {
  const { startTick, endTick } = stretch;
  const hangsOn = noteBefore(timeline, sung, stretch, kind);
  const own = hangsOn ? notePlace(hangsOn) : startPlace(timeline, passAt(timeline, startTick));
  // Begins with the note it hangs on: what comes after that note's end is another place, told apart by the voice.
  const withNote = hangsOn?.startTick === startTick;
  const place = withNote ? { ...own, voiceId: sung.leadId } : own;
  const before = sung.firstFrom(endTick);
  const comesIn = before?.startTick === endTick;
  return {
    id: withNote ? `${spaceId(place)}.${kind}` : spaceId(place),
    place,
    kind,
    startTick,
    endTick,
    beats: clock.beatsBetween(startTick, endTick),
    seconds: secondsIn(timeline, stretch, hangsOn),
    ...clock.countAt(startTick),
    guardTicks: comesIn
      ? Math.min(guardBefore(endTick, timeline, clock, felt.at(endTick - 1)), endTick - startTick)
      : 0,
    tailTicks,
    after: hangsOn ?? sung.lastEndedBy(startTick),
    before,
    chords: timeline.chordsIn(startTick, endTick),
  };
}

/** The note that a space hangs on; null where it hangs on its pass's start: an opening, a break, what follows a break. */
function noteBefore(
  timeline: Timeline,
  sung: SungNotes,
  stretch: Stretch,
  kind: SpaceKind,
): PlacedNote | null {
  const { startTick } = stretch;
  if (kind === 'instrumental') return null;
  if (kind === 'under-tail') return sung.leadNoteAt(startTick);
  const ended = sung.lastEndedBy(startTick);
  if (ended?.endTick === startTick) return ended;
  // A half-open stretch after a silence begins with a note of a harmony voice: it hangs on that, as the leading voice's.
  return kind === 'half-open' && passAt(timeline, startTick).startTick !== startTick
    ? sung.firstFrom(startTick)
    : null;
}

function passAt(timeline: Timeline, tick: Ticks): PlacedPass {
  const { passes } = timeline;
  const begun = countUpTo(passes, tick, (pass) => pass.startTick);
  return itemAt(passes, Math.max(0, begun - 1));
}
