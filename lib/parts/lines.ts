import { lastOf } from '../base';
import type { PlacedBar, PlacedNote, Timeline } from '../song';
import { type Phrase, type Space, wordsOf } from '../spaces';
import { beatTicks, type Ticks } from '../time';
import { soundingIn, startingIn } from './window';

/** A syllable where it is sung. */
export interface LineSyllable {
  readonly noteId: string;
  readonly startTick: Ticks;
  /** Until when the syllable is held, over the notes of a melisma too. */
  readonly endTick: Ticks;
  /** Empty where a note has no words. */
  readonly text: string;
  readonly joins: boolean;
}

/** The part of a space that lies in one segment. */
export interface SpacePart {
  readonly space: Space;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** A stretch of a line inside one bar: the piece that a page may break before, and never within. */
export interface Segment {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly bar: PlacedBar;
  readonly startsBar: boolean;
  readonly endsBar: boolean;
  /** Ticks of the counted beats that fall inside it. */
  readonly beats: readonly Ticks[];
  readonly syllables: readonly LineSyllable[];
  /** What a harmony voice sings while the top voice is silent. */
  readonly echoes: readonly LineSyllable[];
  readonly chords: readonly { readonly tick: Ticks; readonly symbol: string }[];
  readonly spaces: readonly SpacePart[];
}

/** One sung line with the silence after it, up to where the next one begins. */
export interface Line {
  /** Stable while the line's first note is. */
  readonly key: string;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Length before its first barline: pickups hang out to the left, so that downbeats stand under one another. */
  readonly pickupTicks: Ticks;
  readonly segments: readonly Segment[];
  readonly words: string;
  /** The chord that goes on from the line before; null where one begins with the line, or there is none. */
  readonly chordBefore: string | null;
}

/** A pass (or a section as written) with its lines. */
export interface PassLines {
  readonly passId: string | null;
  readonly sectionId: string;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly lines: readonly Line[];
}

/** Where nobody sings, this many bars make a line. Common practice, no source. */
const BARS_WITHOUT_WORDS = 4;

/**
 * Cuts a song into lines, pass by pass: a line begins where a phrase of the top sounding voice begins and ends where
 * the next one does. Takes time in proportion to what is on the timeline.
 *
 * @param phrases those of the top voice, in time order (others are ignored where the top voice sounds)
 */
export function linesOf(
  timeline: Timeline,
  phrases: readonly Phrase[],
  spaces: readonly Space[],
): readonly PassLines[] {
  return timeline.passes.map((placed) => {
    const inside = phrases.filter(
      (phrase) => phrase.startTick >= placed.startTick && phrase.startTick < placed.endTick,
    );
    const voiceId = timeline.song.voices.find((voice) =>
      inside.some((phrase) => phrase.voiceId === voice.id),
    )?.id;
    const top = inside.filter((phrase) => phrase.voiceId === voiceId);
    const bars = startingIn(timeline.bars, placed.startTick, placed.endTick);
    const notes =
      voiceId === undefined ? [] : notesBetween(timeline, voiceId, placed.startTick, placed.endTick);
    const passId = placed.pass?.id ?? null;
    return {
      passId,
      sectionId: placed.section.id,
      startTick: placed.startTick,
      endTick: placed.endTick,
      lines: cutsOf(top, bars, placed.startTick, placed.endTick).map(([startTick, endTick], i) =>
        lineOf(timeline, bars, notes, spaces, startTick, endTick, `${passId ?? placed.section.id}.${i}`),
      ),
    };
  });
}

/** The stretches of a pass's lines. A phrase that follows at once on the pass's start takes the silence before it along. */
function cutsOf(
  phrases: readonly Phrase[],
  bars: readonly PlacedBar[],
  startTick: Ticks,
  endTick: Ticks,
): readonly (readonly [Ticks, Ticks])[] {
  if (endTick <= startTick) return [];
  const first = phrases[0];
  const firstBar = bars[0];
  const starts =
    phrases.length > 0
      ? [startTick, ...phrases.map((phrase) => phrase.startTick).filter((tick) => tick > startTick)]
      : startsWithoutWords(bars);
  // A rest before the first words (the rest of a pickup's bar, say) belongs to the first line, unless it is a line's worth.
  if (
    first &&
    firstBar &&
    first.startTick > startTick &&
    first.startTick - startTick <= 2 * firstBar.bar.ticks
  )
    starts.splice(1, 1);
  return starts.map((tick, i) => [tick, starts[i + 1] ?? endTick] as const);
}

/** Every four bars; a pickup goes with the bar that it leads into. */
function startsWithoutWords(bars: readonly PlacedBar[]): Ticks[] {
  const pickups = bars[0]?.bar.pickup ? 1 : 0;
  return bars
    .filter((_, i) => i === 0 || (i >= pickups && (i - pickups) % BARS_WITHOUT_WORDS === 0 && i > pickups))
    .map((bar) => bar.startTick);
}

function notesBetween(timeline: Timeline, voiceId: string, from: Ticks, to: Ticks): readonly PlacedNote[] {
  return startingIn(timeline.notes.get(voiceId) ?? [], from, to);
}

function lineOf(
  timeline: Timeline,
  bars: readonly PlacedBar[],
  notes: readonly PlacedNote[],
  spaces: readonly Space[],
  startTick: Ticks,
  endTick: Ticks,
  key: string,
): Line {
  const sung = startingIn(notes, startTick, endTick);
  const syllables = syllablesOf(sung);
  const near = soundingIn(spaces, startTick, endTick);
  const segments = soundingIn(bars, startTick, endTick).map((bar) =>
    segmentOf(
      timeline,
      bar,
      syllables,
      near,
      Math.max(startTick, bar.startTick),
      Math.min(endTick, bar.endTick),
    ),
  );
  const before = timeline.chordAt(startTick);
  const first = segments[0];
  const isPickup = first !== undefined && (!first.startsBar || first.bar.bar.pickup);
  return {
    key,
    startTick,
    endTick,
    pickupTicks: isPickup ? first.endTick - first.startTick : 0,
    segments,
    words: wordsOf(sung),
    chordBefore: before && before.startTick < startTick && !isSoonSaid(segments) ? before.symbol : null,
  };
}

/** Whether a chord stands at the line's first downbeat: then nobody needs the one before said again over the pickup. */
function isSoonSaid(segments: readonly Segment[]): boolean {
  const downbeat = segments.find((segment) => segment.startsBar && !segment.bar.bar.pickup);
  return downbeat?.chords.some((chord) => chord.tick === downbeat.startTick) ?? false;
}

function segmentOf(
  timeline: Timeline,
  bar: PlacedBar,
  syllables: readonly LineSyllable[],
  spaces: readonly Space[],
  startTick: Ticks,
  endTick: Ticks,
): Segment {
  const beat = beatTicks(bar.bar.meter);
  const beats: Ticks[] = [];
  // A pickup counts back from its end, so that its beats agree with the bar that it leads into.
  const phase = bar.bar.pickup ? bar.bar.ticks % beat : 0;
  for (let tick = bar.startTick + phase; tick < endTick; tick += beat)
    if (tick >= startTick) beats.push(tick);
  return {
    startTick,
    endTick,
    bar,
    startsBar: startTick === bar.startTick,
    endsBar: endTick === bar.endTick,
    beats,
    syllables: syllables.filter((s) => s.startTick >= startTick && s.startTick < endTick),
    echoes: echoesIn(timeline, spaces, startTick, endTick),
    chords: timeline
      .chordsIn(startTick, endTick)
      .filter((chord) => chord.startTick >= startTick)
      .map((chord) => ({ tick: chord.startTick, symbol: chord.symbol })),
    spaces: spaces
      .filter((space) => space.startTick < endTick && space.endTick > startTick)
      .map((space) => ({
        space,
        startTick: Math.max(startTick, space.startTick),
        endTick: Math.min(endTick, space.endTick),
      })),
  };
}

/** The harmony's words where only harmony sounds. */
function echoesIn(
  timeline: Timeline,
  spaces: readonly Space[],
  startTick: Ticks,
  endTick: Ticks,
): readonly LineSyllable[] {
  const open = spaces.filter(
    (space) => space.kind === 'half-open' && space.startTick < endTick && space.endTick > startTick,
  );
  if (open.length === 0) return [];
  const notes = timeline.song.voices.flatMap((voice) =>
    notesBetween(timeline, voice.id, startTick, endTick).filter((note) =>
      open.some((space) => note.startTick >= space.startTick && note.startTick < space.endTick),
    ),
  );
  return syllablesOf([...notes].sort((a, b) => a.startTick - b.startTick)).filter(
    (syllable) => syllable.text !== '',
  );
}

/** What a voice sings that begins in a stretch, word by word; notes without words are there without a text. */
export const syllablesOfVoice = (
  timeline: Timeline,
  voiceId: string,
  from: Ticks,
  to: Ticks,
): readonly LineSyllable[] => syllablesOf(notesBetween(timeline, voiceId, from, to));

function syllablesOf(notes: readonly PlacedNote[]): readonly LineSyllable[] {
  const syllables: LineSyllable[] = [];
  for (const note of notes) {
    const before = syllables[syllables.length - 1];
    if (
      note.syllable === null &&
      before !== undefined &&
      before.text !== '' &&
      before.endTick === note.startTick
    ) {
      syllables[syllables.length - 1] = { ...lastOf(syllables), endTick: note.endTick };
    } else {
      syllables.push({
        noteId: note.note.id,
        startTick: note.startTick,
        endTick: note.endTick,
        text: note.syllable?.text ?? '',
        joins: note.syllable?.joins ?? false,
      });
    }
  }
  return syllables;
}
