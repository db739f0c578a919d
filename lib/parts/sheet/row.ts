import { itemAt } from '../../base';
import type { InstrumentName } from '../../instruments';
import type { Standing } from '../../plan';
import type { Player } from '../../song';
import type { Key } from '../../theory';
import { beatTicks, type Ticks } from '../../time';
import type { Drawing, Instruction } from '../drawing';
import { fillDrawing, roomBefore } from '../fill-drawing';
import type { Line, LineSyllable, Segment, SpacePart } from '../lines';
import { chordInSigns } from '../sentences';
import { type Spacing, spacingOf, widthInEms } from '../spacing';
import { NUMBER_INSET, SIGNS } from '../tab';
import { moved } from './text';

/** Heights inside a row, in CSS pixels from its top. */
export interface RowGeometry {
  readonly chordBase: number;
  readonly chordSize: number;
  readonly wordBase: number;
  readonly wordSize: number;
  readonly tabTop: number;
  readonly tabBottom: number;
  readonly numberSize: number;
  readonly tickTop: number;
  readonly height: number;
}

/** For two metres on a stand: words of 14 pt, chords larger than words. With tablature, with words alone, with chords alone. */
export const NOTES_ROW: RowGeometry = {
  chordBase: 20,
  chordSize: 21,
  wordBase: 66,
  wordSize: 18.7,
  tabTop: 42,
  tabBottom: 89,
  numberSize: 13.5,
  tickTop: 97,
  height: 112,
};
export const WORDS_ROW: RowGeometry = {
  ...NOTES_ROW,
  wordBase: 43,
  tabTop: 26,
  tabBottom: 46,
  tickTop: 52,
  height: 67,
};
export const CHORDS_ROW: RowGeometry = {
  ...NOTES_ROW,
  wordBase: 27,
  tabTop: 13,
  tabBottom: 27,
  tickTop: 32,
  height: 50,
};

/** What a row shows, and for whom. */
export interface RowLook {
  readonly geometry: RowGeometry;
  readonly pixelsPerTick: number;
  readonly player: Player;
  readonly bySpace: ReadonlyMap<string, Standing>;
  readonly playerOf: (id: string) => Player | null;
  readonly instrument: InstrumentName;
  readonly key: Key;
  readonly chordName: (symbol: string) => string;
  /** Who has the break of a pass in which nobody sings; null: nobody is named. */
  readonly breaker: Player | null;
}

const BAR_TICK = 9;
const BEAT_TICK = 4;
const INITIALS = 0.72;
const HELD_BEATS = 1.5;

/** The segments of a line with their spacings, cut into rows of about one length, as few as can be. */
export function rowsOf(
  line: Line,
  look: RowLook,
  width: number,
  hang: number,
): readonly { readonly drawing: Drawing; readonly width: number }[] {
  const spacings = line.segments.map((segment) =>
    spacingOf(segment, look.pixelsPerTick, look.geometry.wordSize, (id) => roomForHolder(id, look)),
  );
  const widths = spacings.map((spacing) => spacing.width);
  const indent = Math.max(0, hang - (line.pickupTicks > 0 ? (widths[0] ?? 0) : 0));
  const starts = rowStarts(widths, width - indent);
  const firstBar = line.segments.findIndex((segment) => segment.startsBar && !segment.bar.bar.pickup);
  return starts.map((from, r) => {
    const to = starts[r + 1] ?? line.segments.length;
    const drawing: Instruction[] = [];
    let x = indent;
    for (let i = from; i < to; i++) {
      const segment = itemAt(line.segments, i);
      const spacing = itemAt(spacings, i);
      const piece = segmentDrawing(segment, spacing, look, {
        closes: i === to - 1,
        number: i === firstBar ? segment.bar.number : null,
        chordBefore: i === 0 ? line.chordBefore : null,
      });
      drawing.push(...moved(piece, x, 0));
      x += spacing.width;
    }
    return { drawing, width: x };
  });
}

function rowStarts(widths: readonly number[], room: number): readonly number[] {
  const total = widths.reduce((sum, width) => sum + width, 0);
  if (total <= room) return [0];
  const share = total / Math.ceil(total / room);
  const starts = [0];
  let row = 0;
  widths.forEach((width, i) => {
    if (row > 0 && (row + width > room || row + width / 2 > share)) {
      starts.push(i);
      row = 0;
    }
    row += width;
  });
  return starts;
}

const textAt = (
  x: number,
  y: number,
  text: string,
  size: number,
  more: Partial<Extract<Instruction, { kind: 'text' }>> = {},
): Instruction => ({
  kind: 'text',
  x,
  y,
  text,
  size,
  anchor: 'start',
  face: 'words',
  tone: 'ink',
  clear: 0,
  ...more,
});

interface PieceSigns {
  readonly closes: boolean;
  readonly number: number | null;
  readonly chordBefore: string | null;
}

function segmentDrawing(segment: Segment, spacing: Spacing, look: RowLook, signs: PieceSigns): Drawing {
  const { geometry, chordName } = look;
  const chord = (x: number, symbol: string, tone: 'ink' | 'quiet') =>
    textAt(x, geometry.chordBase, chordInSigns(chordName(symbol)), geometry.chordSize, {
      face: 'strong',
      tone,
    });
  return [
    ...ticksOf(segment, spacing, geometry, signs.closes),
    ...holdsOf(segment, spacing, look),
    ...(signs.chordBefore === null ? [] : [chord(0, signs.chordBefore, 'quiet')]),
    ...segment.chords.map(({ tick, symbol }) => chord(spacing.xOf(tick), symbol, 'ink')),
    ...segment.syllables.flatMap((syllable) => wordOf(syllable, spacing, geometry, false)),
    ...segment.echoes.flatMap((syllable) => wordOf(syllable, spacing, geometry, true)),
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
function holdsOf(segment: Segment, spacing: Spacing, { geometry, bySpace }: RowLook): Drawing {
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
    const beforeNotes = segment.spaces.some((part) => bySpace.has(part.space.id) && part.startTick === end);
    const x1 = spacing.xOf(syllable.startTick) + room;
    const x2 = spacing.xOf(end) - (beforeNotes ? 26 : 5);
    if (x2 - x1 < (isBare ? 2 : 12)) return [];
    const y = geometry.wordBase + 0.5;
    return [{ kind: 'line', x1, y1: y, x2, y2: y, pen: isBare ? 'ink' : 'faint' }];
  });
}

function wordOf(syllable: LineSyllable, spacing: Spacing, geometry: RowGeometry, echo: boolean): Drawing {
  if (syllable.text === '') return [];
  const text = syllable.joins ? `${syllable.text}-` : syllable.text;
  const look = echo ? ({ face: 'italic', tone: 'quiet' } as const) : {};
  return [textAt(spacing.xOf(syllable.startTick), geometry.wordBase, text, geometry.wordSize, look)];
}

function roomForHolder(spaceId: string, look: RowLook): number {
  const holding = look.bySpace.get(spaceId)?.answer.holding;
  if (!holding || holding.kind === 'left open') return 0;
  const initials = look.playerOf(holding.playerId)?.initials ?? '';
  const { tabTop: top, tabBottom: bottom, wordSize } = look.geometry;
  const isDrawn = holding.kind === 'fill' && holding.playerId === look.player.id;
  const clef = isDrawn ? roomBefore({ instrument: look.instrument, top, bottom }) : 0;
  return widthInEms(initials) * wordSize * INITIALS + 8 + clef;
}

/** What stands in a space: the player's own notes; who else has it, and a wave as long as they play; else a breath sign. */
function spaceDrawing(part: SpacePart, segment: Segment, spacing: Spacing, look: RowLook): Drawing {
  const { geometry, bySpace, player } = look;
  const standing = bySpace.get(part.space.id) ?? null;
  const holding = standing?.answer.holding ?? null;
  const isFirst = part.startTick === part.space.startTick;
  const left = spacing.xOf(part.startTick);
  const breaker = part.space.kind === 'instrumental' && standing === null ? look.breaker : null;
  if ((holding === null && breaker === null) || holding?.kind === 'left open')
    return isFirst
      ? [textAt(left + 2, geometry.wordBase - 8, SIGNS.breathMark, 24, { face: 'music', tone: 'quiet' })]
      : [];
  const holder = breaker ?? (holding === null ? null : look.playerOf(holding.playerId));
  if (holding?.kind === 'fill' && standing && holding.playerId === player.id)
    return notesDrawing(part, segment, spacing, look, standing, holder, isFirst);
  const [first] = standing?.notes ?? [];
  const last = standing?.notes[(standing?.notes.length ?? 0) - 1];
  const from = first ? spacing.xOf(Math.max(part.startTick, first.tick)) : left;
  const to = spacing.xOf(last ? Math.min(part.endTick, last.tick + last.ticks) : part.endTick);
  const waved = part.space.kind !== 'instrumental' || isFirst;
  return [
    ...(isFirst && holder ? [initialsAt(from, holder, geometry)] : []),
    ...(waved ? wave(isFirst ? from + 4 : from, Math.min(to - 6, from + 260), geometry.wordBase - 6) : []),
  ];
}

const initialsAt = (end: number, holder: Player, geometry: RowGeometry): Instruction =>
  textAt(end - 3, geometry.wordBase, holder.initials, geometry.wordSize * INITIALS, {
    face: 'plain',
    anchor: 'end',
  });

function wave(from: number, to: number, y: number): Drawing {
  const step = 9;
  const count = Math.floor((to - from) / step);
  return Array.from({ length: Math.max(0, count) }, (_, i) => ({
    kind: 'arc',
    x1: from + i * step,
    x2: from + (i + 1) * step,
    y,
    height: i % 2 === 0 ? 3.5 : -3.5,
  }));
}

function notesDrawing(
  part: SpacePart,
  segment: Segment,
  spacing: Spacing,
  look: RowLook,
  standing: Standing,
  holder: Player | null,
  isFirst: boolean,
): Drawing {
  const { geometry } = look;
  const { notes } = standing;
  const first = notes[0];
  const last = notes[notes.length - 1];
  if (!first || !last) return [];
  const startTick = Math.max(part.startTick, first.tick);
  const endTick = Math.min(part.endTick, Math.max(last.tick + last.ticks, last.tick + 480));
  if (endTick <= startTick) return [];
  const begins = startTick === first.tick;
  const left = spacing.xOf(startTick);
  const frame = { instrument: look.instrument, top: geometry.tabTop, bottom: geometry.tabBottom };
  const drawing = fillDrawing(notes, {
    ...frame,
    startTick,
    endTick,
    xOf: (tick) =>
      Math.max(spacing.xOf(tick) - left, tick === endTick ? NUMBER_INSET + 10 : Number.NEGATIVE_INFINITY),
    key: look.key,
    barTick: segment.bar.startTick,
    beatTicks: beatTicks(segment.bar.bar.meter),
    numberSize: geometry.numberSize,
    begins,
  });
  const room = begins ? roomBefore(frame) : 0;
  return [
    ...moved(drawing, left, 0),
    ...(isFirst && begins && holder ? [initialsAt(left - room, holder, geometry)] : []),
  ];
}
