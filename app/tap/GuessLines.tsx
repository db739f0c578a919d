import { hangOf, WORD_SIZE } from '../../lib/parts';
import type { Song } from '../../lib/song';
import { type LaidLine, outsideOf, type TapSheet, takenLines } from '../../lib/taps';
import { barTicks, beatOf, beatsSaid, beatTicks, type Ticks } from '../../lib/time';
import { GuessLine, type Spot } from './GuessLine';
import { arrangedGuess, shownLines } from './guess';

/** The guess as it would stand on the board: the pass's lines, each syllable on its beat. */
export function GuessLines({
  song,
  sheet,
  lines,
  withChords,
  selected,
  select,
}: {
  readonly song: Song;
  readonly sheet: TapSheet;
  readonly lines: readonly LaidLine[];
  /** Whether chords are shown where their words are sung, or where they stand so far. */
  readonly withChords: boolean;
  readonly selected: Spot | null;
  readonly select: ((spot: Spot) => void) | null;
}) {
  const shown = shownLines(sheet, lines);
  const arrangement = arrangedGuess(song, sheet, shown, withChords);
  const spots = new Map<Ticks, Spot>();
  // A line that reaches outside is shown where the song has it so far, and is chosen there.
  takenLines(sheet, shown).forEach((syllables, line) => {
    syllables.forEach(({ tick }, index) => {
      spots.set(tick, { line, index });
    });
  });
  const outside = new Set(outsideOf(sheet, lines));
  const hang = hangOf(arrangement.passes, arrangement.pixelsPerTick, WORD_SIZE);
  return (
    <section className="guess" aria-label={select ? 'Syllables of the guess' : 'What was tapped so far'}>
      {arrangement.passes.flatMap((pass) =>
        pass.lines.map((line) => (
          <GuessLine
            key={line.startTick}
            line={line}
            pixelsPerTick={arrangement.pixelsPerTick}
            hang={hang}
            spotAt={(tick) => spots.get(tick) ?? null}
            selected={selected}
            select={select}
            isUnsure={({ line: n, index }) => lines[n]?.unsure.includes(index) ?? false}
            isTapped={({ line: n }) => (lines[n]?.tapped ?? false) && !outside.has(n)}
            labelOf={(spot) => spotInWords(sheet, lines, spot)}
          />
        )),
      )}
    </section>
  );
}

/** `home, bar 3, beat 2, held 1 beat; in doubt`. */
export function spotInWords(sheet: TapSheet, lines: readonly LaidLine[], { line, index }: Spot): string {
  const own = lines[line];
  const syllable = own?.syllables[index];
  if (!own || !syllable) return '';
  if (syllable.tick < 0 || syllable.tick >= sheet.endTick)
    return `${syllable.text}, outside the bars${syllable.tick < 0 ? ', before the first' : ', behind the last'}`;
  const at = sheet.bars.findLastIndex(({ startTick }) => startTick <= syllable.tick);
  const bar = sheet.bars[at];
  if (!bar) return syllable.text;
  const number = sheet.bars.slice(0, at + 1).filter(({ pickup }) => !pickup).length;
  const offset =
    syllable.tick - bar.startTick + (bar.pickup ? barTicks(bar.meter) - (bar.endTick - bar.startTick) : 0);
  const beat = beatsSaid(beatOf(bar.meter, offset));
  const beats = syllable.ticks / beatTicks(bar.meter);
  const held = `${beatsSaid(beats)} ${beats === 1 ? 'beat' : beats < 1 ? 'of a beat' : 'beats'}`;
  const doubt = own.unsure.includes(index) ? '; in doubt' : '';
  return `${syllable.text}, ${bar.pickup ? 'pickup' : `bar ${number}`}, beat ${beat}, held ${held}${doubt}`;
}
