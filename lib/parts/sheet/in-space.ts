import type { Standing } from '../../plan';
import type { Player } from '../../song';
import { beatTicks } from '../../time';
import type { Drawing, Instruction } from '../drawing';
import { fillDrawing, roomBefore } from '../fill-drawing';
import type { Segment, SpacePart } from '../lines';
import { type Spacing, widthInEms } from '../spacing';
import { NUMBER_INSET, SIGNS } from '../tab';
import { type RowGeometry, type RowLook, textAt } from './row-look';
import { moved } from './text';

/** Size of a holder's initials, in sizes of the words. */
const INITIALS = 0.72;

/** The player's own written fills that sound in a bar. */
export function writtenIn({ spaces }: Segment, { bySpace, player }: RowLook): readonly Standing[] {
  return spaces.flatMap(({ space, startTick, endTick }) => {
    const standing = bySpace.get(space.id);
    const holding = standing?.answer.holding;
    if (!standing || holding?.kind !== 'fill' || holding.playerId !== player.id) return [];
    const sounds = standing.notes.some(({ tick, ticks }) => tick < endTick && tick + ticks > startTick);
    return sounds ? [standing] : [];
  });
}

/** Pixels kept free before a space, for the initials of who has it and what a fill begins with. */
export function roomForHolder(spaceId: string, look: RowLook): number {
  const holding = look.bySpace.get(spaceId)?.answer.holding;
  if (!holding || holding.kind === 'left open') return 0;
  const initials = look.playerOf(holding.playerId)?.initials ?? '';
  const { tabTop: top, tabBottom: bottom, wordSize } = look.geometry;
  const isDrawn = holding.kind === 'fill' && holding.playerId === look.player.id;
  const clef = isDrawn ? roomBefore({ instrument: look.instrument, key: look.key, top, bottom }) : 0;
  return widthInEms(initials) * wordSize * INITIALS + 8 + clef;
}

/** What stands in a space: the player's own notes; who else has it, and a wave as long as they play; else a breath sign. */
export function spaceDrawing(part: SpacePart, segment: Segment, spacing: Spacing, look: RowLook): Drawing {
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
    return notesDrawing(part, segment, spacing, look, standing, holder);
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
): Drawing {
  const { geometry } = look;
  // A break's pickup stands before its space.
  const opens = part.startTick <= part.space.startTick;
  const { notes } = standing;
  const first = notes[0];
  const last = notes[notes.length - 1];
  if (!first || !last) return [];
  const startTick = Math.max(part.startTick, first.tick);
  const endTick = Math.min(part.endTick, Math.max(last.tick + last.ticks, last.tick + 480));
  if (endTick <= startTick) return [];
  const begins = startTick === first.tick;
  const left = spacing.xOf(startTick);
  const frame = {
    instrument: look.instrument,
    key: look.key,
    top: geometry.tabTop,
    bottom: geometry.tabBottom,
  };
  const drawing = fillDrawing(notes, {
    ...frame,
    startTick,
    endTick,
    xOf: (tick) =>
      Math.max(spacing.xOf(tick) - left, tick === endTick ? NUMBER_INSET + 10 : Number.NEGATIVE_INFINITY),
    barTick: segment.bar.startTick,
    beatTicks: beatTicks(segment.bar.bar.meter),
    numberSize: geometry.numberSize,
    begins,
  });
  const room = begins ? roomBefore(frame) : 0;
  return [
    ...moved(drawing, left, 0),
    ...(opens && begins && holder ? [initialsAt(left - room, holder, geometry)] : []),
  ];
}
