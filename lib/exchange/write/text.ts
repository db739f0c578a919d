import type { PlacedNote, Timeline } from '../../song';
import { keyName } from '../../theory';
import { beatTicks, meterName, TICKS_PER_QUARTER, type Ticks } from '../../time';
import type { Written } from './musicxml';
import { scoreOf } from './score';

interface Mark {
  readonly tick: Ticks;
  readonly symbol: string;
}

/** The words of one line, with the place in them at which each syllable begins. */
interface Line {
  readonly words: string;
  readonly from: Ticks;
  readonly starts: readonly { readonly tick: Ticks; readonly column: number }[];
}

/**
 * A song as plain text: facts, then for each pass of the roadmap its words with the chords above the syllables that they fall on.
 * A pass of the same section and stanza is named again, not written again.
 */
export function writeText(timeline: Timeline): Written {
  const { song } = timeline;
  const score = scoreOf(timeline);
  const first = timeline.bars[0]?.bar.meter ?? { count: 4, unit: 4 };
  const beats = song.tempo === null ? null : (song.tempo * TICKS_PER_QUARTER) / beatTicks(first);
  const facts = [
    `Key: ${keyName(song.key)}`,
    ...(beats === null ? [] : [`Tempo: ${Math.round(beats * 10) / 10}`]),
    `Meter: ${meterName(first)}`,
    ...(song.feel.ratio === 1 ? [] : ['Feel: swing']),
  ];
  const blocks: string[] = [];
  for (const { section, startTick, endTick } of timeline.passes) {
    const marks = timeline.chords
      .filter((chord) => chord.startTick >= startTick && chord.startTick < endTick)
      .map(({ startTick: tick, symbol }) => ({ tick, symbol }));
    const voice = song.voices.find(({ part }) => part === 'lead') ?? song.voices[0];
    const notes = (voice ? (timeline.notes.get(voice.id) ?? []) : []).filter(
      (note) => note.startTick >= startTick && note.startTick < endTick,
    );
    const stanzas = stanzasOf(notes, score.words.stanzas);
    if (stanzas.length === 0) blocks.push(block(section.name, barsOfChords(timeline, startTick, endTick)));
    for (const stanza of stanzas) {
      const name = stanzas.length > 1 ? `${section.name} ${stanza}` : section.name;
      blocks.push(
        block(
          name,
          linesOf(notes, stanza).flatMap((line, i, all) => written(line, all[i + 1], marks, i === 0)),
        ),
      );
    }
  }
  return {
    content: `${[song.title, facts.join('\n'), ...blocks].join('\n\n')}\n`,
    leftOut: [
      'the tune, and where in the bar each syllable and each chord falls',
      ...(song.voices.length > 1 ? ['the voices beside the leading one'] : []),
      ...score.leftOut,
    ],
  };
}

const block = (name: string, lines: readonly string[]): string => [`[${name}]`, ...lines].join('\n');

const stanzasOf = (notes: readonly PlacedNote[], most: number): number[] =>
  Array.from({ length: most }, (_, i) => i + 1).filter((stanza) =>
    notes.some(({ note }) => (note.syllables[stanza - 1] ?? null) !== null),
  );

/** One stanza's lines, as the words were written; a line that nobody ended ends with the stanza. */
function linesOf(notes: readonly PlacedNote[], stanza: number): Line[] {
  const lines: Line[] = [];
  let words = '';
  let starts: { tick: Ticks; column: number }[] = [];
  const end = () => {
    const [first] = starts;
    if (first) lines.push({ words: words.trimEnd(), from: first.tick, starts });
    words = '';
    starts = [];
  };
  for (const { note, startTick } of notes) {
    const syllable = note.syllables[stanza - 1] ?? null;
    if (syllable === null) continue;
    starts.push({ tick: startTick, column: words.length });
    words += syllable.joins ? syllable.text : `${syllable.text} `;
    if (syllable.endsLine) end();
  }
  end();
  return lines;
}

/** A line with its chords above it; those of a silence before the next line stand behind its words. */
function written(line: Line, next: Line | undefined, marks: readonly Mark[], isFirst: boolean): string[] {
  const from = isFirst ? Number.NEGATIVE_INFINITY : line.from;
  const to = next?.from ?? Number.POSITIVE_INFINITY;
  let above = '';
  const put = (column: number, symbol: string) => {
    const least = above === '' ? 0 : above.length + 1;
    above = above.padEnd(Math.max(column, least)) + symbol;
  };
  for (const { tick, symbol } of marks) {
    if (tick < from || tick >= to) continue;
    const under = line.starts.find((start) => start.tick >= tick);
    put(under?.column ?? line.words.length + 1, symbol);
  }
  return above === '' ? [line.words] : [above, line.words];
}

/** A stretch that nobody sings: its bars, four in a line. */
function barsOfChords(timeline: Timeline, from: Ticks, to: Ticks): string[] {
  const bars = timeline.bars
    .filter(({ startTick, bar }) => startTick >= from && startTick < to && !bar.pickup)
    .map(({ startTick, endTick }) => {
      const inside = timeline.chords.filter(
        (chord) => chord.startTick >= startTick && chord.startTick < endTick,
      );
      const held = timeline.chordAt(startTick);
      const symbols = inside.length > 0 ? inside.map(({ symbol }) => symbol) : held ? [held.symbol] : [];
      return symbols.join(' ');
    });
  if (bars.every((bar) => bar === '')) return [];
  const lines: string[] = [];
  for (let i = 0; i < bars.length; i += 4) lines.push(`| ${bars.slice(i, i + 4).join(' | ')} |`);
  return lines;
}
