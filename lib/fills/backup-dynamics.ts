import { beatTicks } from '../time';
import type { BackupRequest, Dynamic, Stretch } from './backup-types';

/** A silence shorter than this many beats is a breath: backup stays as it is. */
const BREATH_BEATS = 1.5;

/** Soft while anybody sings, half loud where nobody does; breaths are sung over. Marks where it changes, the first at the start. */
export function dynamicsOf({ timeline, startTick, endTick }: BackupRequest): readonly Dynamic[] {
  if (timeline.bars.length === 0 || endTick <= startTick) return [];
  const sung = [...timeline.notes.values()].flat().sort((a, b) => a.startTick - b.startTick);
  const stretches: { startTick: number; endTick: number }[] = [];
  for (const note of sung) {
    const last = stretches.at(-1);
    const breath = BREATH_BEATS * beatTicks(timeline.barAt(note.startTick).bar.meter);
    if (last && note.startTick - last.endTick < breath) last.endTick = Math.max(last.endTick, note.endTick);
    else stretches.push({ startTick: note.startTick, endTick: note.endTick });
  }
  return marksOf(stretches, startTick, endTick);
}

function marksOf(sung: readonly Stretch[], startTick: number, endTick: number): readonly Dynamic[] {
  const marks: Dynamic[] = [];
  const mark = (tick: number, under: boolean) => {
    if (tick >= endTick) return;
    marks.push({ tick: Math.max(tick, startTick), mark: under ? 'p' : 'mf' });
  };
  if (!sung.some((each) => each.startTick <= startTick && each.endTick > startTick)) mark(startTick, false);
  for (const each of sung) {
    if (each.endTick <= startTick || each.startTick >= endTick) continue;
    mark(each.startTick, true);
    mark(each.endTick, false);
  }
  return marks;
}
