import { type Setup, stringCount } from '../../lib/instruments';
import type { FillNote, PlacedBar } from '../../lib/song';
import { printedFret } from './offers';

/** An eighth note takes this many characters: the fewest with which no fret runs into the next one on its string. */
const PER_EIGHTH = [2, 4, 6, 8] as const;
const EIGHTH = 480;
const BARS_A_LINE = 4;

/** Notes as tablature in plain characters: a line for each string, the first on top; an eighth note to two characters or more, bars between strokes. */
export function textTab(
  bars: readonly PlacedBar[],
  notes: readonly FillNote[],
  setup: Setup,
): readonly string[] {
  const strings = Array.from({ length: stringCount(setup.instrument) }, (_, i) => i + 1);
  const perEighth =
    PER_EIGHTH.find((each) => strings.every((string) => standApart(notes, string, setup, each))) ?? 8;
  const lines: string[] = [];
  for (let at = 0; at < bars.length; at += BARS_A_LINE) {
    const here = bars.slice(at, at + BARS_A_LINE);
    if (lines.length > 0) lines.push('');
    lines.push(`  bar ${here[0]?.number ?? 0}`);
    for (const string of strings)
      lines.push(
        `  ${string} |${here.map((bar) => barText(bar, notes, string, setup, perEighth)).join('|')}|`,
      );
  }
  return lines;
}

/** Whether frets of more than one figure stand clear of their neighbours on a string; of one figure each they may touch. */
function standApart(notes: readonly FillNote[], string: number, setup: Setup, perEighth: number): boolean {
  const own = notes.filter((note) => note.string === string);
  return own.every((note, i) => {
    const next = own[i + 1];
    if (!next) return true;
    const figures = String(printedFret(note, setup)).length;
    const room = figures > 1 || printedFret(next, setup) > 9 ? figures + 1 : figures;
    return Math.floor(((next.tick - note.tick) / EIGHTH) * perEighth) >= room;
  });
}

function barText(
  bar: PlacedBar,
  notes: readonly FillNote[],
  string: number,
  setup: Setup,
  perEighth: number,
): string {
  const width = Math.max(1, Math.ceil((bar.endTick - bar.startTick) / EIGHTH)) * perEighth + 1;
  const text = Array.from({ length: width }, () => '-');
  for (const note of notes) {
    if (note.string !== string || note.tick < bar.startTick || note.tick >= bar.endTick) continue;
    const at = 1 + Math.floor(((note.tick - bar.startTick) / EIGHTH) * perEighth);
    [...String(printedFret(note, setup))].forEach((digit, k) => {
      if (at + k < width) text[at + k] = digit;
    });
  }
  return text.join('');
}
