import { itemAt } from '../../base';
import type { PlacedBar, PlacedNote, Song, Timeline } from '../../song';
import type { Key } from '../../theory';
import type { Meter, Ticks } from '../../time';
import { type Repeats, repeatsOf } from './repeats';
import { WordsUnder } from './words-under';

/** What begins and ends along a timeline. */
export interface Timed {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** A note or a rest within one bar; a note that is held over a barline is several, tied. */
export interface ScoreEvent<N extends Timed = PlacedNote> {
  /** From the bar's start. */
  readonly offset: Ticks;
  readonly ticks: Ticks;
  /** Null: a rest. */
  readonly note: N | null;
  /** Tied to the event of the same note before it, and after it. */
  readonly goesOn: boolean;
  readonly heldOn: boolean;
}

export interface ScoreBar {
  readonly placed: PlacedBar;
  readonly ticks: Ticks;
  readonly meter: Meter;
  /** Where it is new. */
  readonly newMeter: boolean;
  readonly key: Key | null;
  readonly tempo: number | null;
  /** The name of the section that begins here. */
  readonly label: string | null;
  readonly repeats: Repeats;
  readonly chords: readonly { readonly offset: Ticks; readonly symbol: string }[];
  /** As the voices of the song. */
  readonly voices: readonly (readonly ScoreEvent[])[];
}

/** A song as a score is written: bar by bar, voice by voice, nothing longer than its bar. */
export interface Score {
  readonly song: Song;
  readonly bars: readonly ScoreBar[];
  readonly words: WordsUnder;
  /** What stands in no bar, in a sentence each. */
  readonly leftOut: readonly string[];
}

/** Cuts a timeline into bars. Chords are written where they are marked, so that a chord that merely goes on is not said again. */
export function scoreOf(timeline: Timeline): Score {
  const { song } = timeline;
  const repeats = repeatsOf(timeline);
  const cursors = song.voices.map(() => 0);
  let meter: Meter | null = null;
  const bars = timeline.bars.map((placed, i): ScoreBar => {
    const { bar, startTick, endTick } = placed;
    const newMeter = meter === null || meter.count !== bar.meter.count || meter.unit !== bar.meter.unit;
    meter = bar.meter;
    const pass = timeline.passes.find((each) => each.startTick === startTick && each.endTick > startTick);
    return {
      placed,
      ticks: bar.ticks,
      meter: bar.meter,
      newMeter,
      key: i === 0 ? (bar.key ?? song.key) : bar.key,
      tempo: i === 0 ? (bar.tempo ?? song.tempo) : bar.tempo,
      label: pass?.section.name ?? null,
      repeats: itemAt(repeats.bars, i),
      chords: timeline.chords
        .filter((chord) => chord.startTick >= startTick && chord.startTick < endTick)
        .map((chord) => ({ offset: chord.startTick - startTick, symbol: chord.symbol })),
      voices: song.voices.map(({ id }, v) => {
        const notes = timeline.notes.get(id) ?? [];
        let from = itemAt(cursors, v);
        while (from < notes.length && itemAt(notes, from).endTick <= startTick) from += 1;
        cursors[v] = from;
        return eventsOf(notes, from, placed);
      }),
    };
  });
  return {
    song,
    bars,
    words: new WordsUnder(timeline),
    leftOut: [...repeats.leftOut, ...unwritten(timeline)],
  };
}

/** Notes of one voice in one bar, from the first that may sound in it, with rests between. */
export function eventsOf<N extends Timed>(
  notes: readonly N[],
  first: number,
  { startTick, endTick }: Timed,
): ScoreEvent<N>[] {
  const events: ScoreEvent<N>[] = [];
  let at = startTick;
  const rest = (to: Ticks) => {
    if (to > at)
      events.push({ offset: at - startTick, ticks: to - at, note: null, goesOn: false, heldOn: false });
  };
  for (let i = first; i < notes.length; i++) {
    const note = itemAt(notes, i);
    if (note.startTick >= endTick) break;
    const from = Math.max(note.startTick, startTick);
    const to = Math.min(note.endTick, endTick);
    if (to <= from) continue;
    rest(from);
    events.push({
      offset: from - startTick,
      ticks: to - from,
      note,
      goesOn: note.startTick < from,
      heldOn: note.endTick > to,
    });
    at = to;
  }
  rest(endTick);
  return events;
}

/** Notes that one writing cannot hold beside the others. */
function unwritten(timeline: Timeline): string[] {
  const { song } = timeline;
  const written = new Set([...timeline.notes.values()].flatMap((notes) => notes.map(({ note }) => note.id)));
  const apart = song.notes.filter(({ id, stanzas }) => stanzas.length > 0 && !written.has(id));
  return apart.length === 0
    ? []
    : [`${apart.length} notes that are sung in other stanzas alone, to a rhythm of their own`];
}
