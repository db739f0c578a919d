import { itemAt } from '../../base';
import { beatTicks, type Ticks } from '../../time';
import type { Drawing, Instruction } from '../drawing';
import type { Line, LineSyllable, Segment } from '../lines';
import { notesApart } from '../notes-apart';
import { rowStarts, tearsFill } from '../row-starts';
import { chordInSigns } from '../sentences';
import { roomAtStart, type Spacing, spacingOf, widthInEms } from '../spacing';
import { SIGNS } from '../tab';
import { roomForHolder, spaceDrawing, writtenIn } from './in-space';
import { cuesUnder, type PlacedCue } from './microphone';
import { type RowGeometry, type RowLook, textAt } from './row-look';
import { moved, scaled } from './text';

const BAR_TICK = 9;
const BEAT_TICK = 4;
const HELD_BEATS = 1.5;
/** The line of a held syllable: so far under its word's base, so long at least, and so far from initials, in pixels. */
const HELD_DROP = 0.5;
const HELD_LEAST = 12;
const HELD_CLEAR = 4;

/** The segments of a line with their spacings, cut into rows of about one length, as few as can be. */
export function rowsOf(
  line: Line,
  look: RowLook,
  width: number,
  hang: number,
): readonly { readonly drawing: Drawing; readonly height: number }[] {
  const room = (id: string) => roomForHolder(id, look);
  const written = (segment: Segment) => writtenIn(segment, look).map(({ notes }) => notes);
  const spacings = line.segments.map((segment, i) => {
    const { wordSize, numberSize } = look.geometry;
    const apart = notesApart(segment, written(segment), numberSize);
    const after = roomAtStart(line.segments[i + 1], look.pixelsPerTick, room);
    return spacingOf(segment, look.pixelsPerTick, wordSize, room, apart, after);
  });
  const widths = spacings.map((spacing) => spacing.width);
  const indent = Math.max(0, hang - (line.pickupTicks > 0 ? (widths[0] ?? 0) : 0));
  const starts = rowStarts(widths, width - indent, (at) => tearsFill(line.segments, at, written));
  const firstBar = line.segments.findIndex((segment) => segment.startsBar && !segment.bar.bar.pickup);
  return starts.map((from, r) => {
    const to = starts[r + 1] ?? line.segments.length;
    const drawing: Instruction[] = [];
    const shown = line.segments.slice(from, to);
    const geometry = shown.some((segment) => writtenIn(segment, look).length > 0)
      ? look.geometry
      : look.without;
    const cues: PlacedCue[] = [];
    let x = indent;
    for (let i = from; i < to; i++) {
      const segment = itemAt(line.segments, i);
      const spacing = itemAt(spacings, i);
      const piece = segmentDrawing(
        segment,
        spacing,
        { ...look, geometry },
        {
          closes: i === to - 1,
          number: i === firstBar ? segment.bar.number : null,
          chordBefore: i === 0 ? line.chordBefore : null,
        },
      );
      drawing.push(...moved(piece, x, 0));
      for (const { tick, text } of look.cues)
        if (tick >= segment.startTick && tick < segment.endTick)
          cues.push({ x: x + spacing.xOf(tick), text });
      x += spacing.width;
    }
    // A bar alone that is wider than the sheet is drawn smaller, never over the edge.
    const scale = Math.min(1, width / x);
    const clear = besideInitials(drawing, geometry);
    const fitted = scale < 1 ? scaled(clear, scale) : clear;
    const told = cuesUnder(
      cues.map((cue) => ({ ...cue, x: cue.x * scale })),
      geometry.height,
      width,
    );
    return { drawing: [...fitted, ...told.drawing], height: geometry.height + told.height };
  });
}

/** A row in which the lines of held syllables end before the initials of who comes after them, in whichever bar those stand. */
function besideInitials(drawing: Drawing, { wordBase }: RowGeometry): Drawing {
  const initials = drawing.flatMap((one) =>
    one.kind === 'text' && one.anchor === 'end' && one.y === wordBase
      ? [{ left: one.x - widthInEms(one.text) * one.size - HELD_CLEAR, right: one.x }]
      : [],
  );
  const y = wordBase + HELD_DROP;
  return drawing.flatMap((one): Drawing => {
    if (one.kind !== 'line' || one.y1 !== y || one.y2 !== y) return [one];
    const x2 = Math.min(one.x2, ...initials.filter(({ right }) => right > one.x1).map(({ left }) => left));
    return x2 === one.x2 ? [one] : x2 - one.x1 < HELD_LEAST ? [] : [{ ...one, x2 }];
  });
}

interface PieceSigns {
  readonly closes: boolean;
  readonly number: number | null;
  readonly chordBefore: string | null;
}

function segmentDrawing(segment: Segment, spacing: Spacing, look: RowLook, signs: PieceSigns): Drawing {
  const { geometry, chordName } = look;
  const chord = (tick: Ticks, symbol: string, tone: 'ink' | 'quiet') =>
    textAt(spacing.xOf(tick), geometry.chordBase, chordInSigns(chordName(symbol, tick)), geometry.chordSize, {
      face: 'strong',
      tone,
    });
  return [
    ...ticksOf(segment, spacing, geometry, signs.closes),
    ...holdsOf(segment, spacing, look),
    ...(signs.chordBefore === null ? [] : [chord(segment.startTick, signs.chordBefore, 'quiet')]),
    ...segment.chords.map(({ tick, symbol }) => chord(tick, symbol, 'ink')),
    ...segment.syllables.flatMap((syllable) => wordOf(syllable, spacing, geometry, false)),
    ...segment.echoes.flatMap((syllable) => wordOf(syllable, spacing, geometry, true)),
    ...breathsIn(segment, spacing, look),
    ...(signs.number === null
      ? []
      : [textAt(3, geometry.tickTop + 13, String(signs.number), 11, { face: 'plain', tone: 'quiet' })]),
    ...segment.spaces.flatMap((part) => spaceDrawing(part, segment, spacing, look)),
  ];
}

function ticksOf(segment: Segment, spacing: Spacing, { tickTop }: RowGeometry, closes: boolean): Drawing {
  const tick = (at: Ticks, isBar: boolean): Instruction => {
    const x = spacing.xOf(at);
    return {
      kind: 'line',
      x1: x,
      y1: tickTop,
      x2: x,
      y2: tickTop + (isBar ? BAR_TICK : BEAT_TICK),
      pen: isBar ? 'ink' : 'faint',
    };
  };
  const beats = segment.beats.filter((beat) => !(segment.startsBar && beat === segment.startTick));
  return [
    ...(segment.startsBar ? [tick(segment.startTick, true)] : []),
    ...beats.map((beat) => tick(beat, false)),
    ...(closes && segment.endsBar ? [tick(segment.endTick, true)] : []),
  ];
}

/** A held syllable has a line as long as it is held; a note without words is a line alone. */
function holdsOf(segment: Segment, spacing: Spacing, { geometry }: RowLook): Drawing {
  const beat = beatTicks(segment.bar.bar.meter);
  return segment.syllables.flatMap((syllable): Drawing => {
    const isBare = syllable.text === '';
    if (!isBare && syllable.endTick - syllable.startTick < HELD_BEATS * beat) return [];
    const written = syllable.joins ? `${syllable.text}-` : syllable.text;
    const room = isBare ? 1 : (widthInEms(written) + 0.2) * geometry.wordSize;
    const tail = segment.spaces.find(
      (part) => part.startTick > syllable.startTick && part.startTick < syllable.endTick,
    );
    const end = tail?.startTick ?? syllable.endTick;
    const x1 = spacing.xOf(syllable.startTick) + room;
    const x2 = spacing.xOf(end) - 5;
    if (x2 - x1 < (isBare ? 2 : HELD_LEAST)) return [];
    const y = geometry.wordBase + HELD_DROP;
    return [{ kind: 'line', x1, y1: y, x2, y2: y, pen: isBare ? 'ink' : 'faint' }];
  });
}

/** A singer's breaths, over the ends of the words. */
function breathsIn(segment: Segment, spacing: Spacing, look: RowLook): Drawing {
  const { wordBase, wordSize } = look.geometry;
  const own = [...look.breaths].filter((tick) => tick > segment.startTick && tick <= segment.endTick);
  return own.map((tick) => {
    const part = segment.spaces.find(({ space }) => space.startTick === tick);
    const x = spacing.xOf(tick) - 9 - (part ? roomForHolder(part.space.id, look) : 0);
    return textAt(x, wordBase - wordSize * 0.72, SIGNS.breathMark, 24, { face: 'music' });
  });
}

function wordOf(syllable: LineSyllable, spacing: Spacing, geometry: RowGeometry, echo: boolean): Drawing {
  if (syllable.text === '') return [];
  const text = syllable.joins ? `${syllable.text}-` : syllable.text;
  const look = echo ? ({ face: 'italic', tone: 'quiet' } as const) : {};
  return [textAt(spacing.xOf(syllable.startTick), geometry.wordBase, text, geometry.wordSize, look)];
}
