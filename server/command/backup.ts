import { ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { strumBackup } from '../../lib/fills';
import type { Setup } from '../../lib/instruments';
import { writtenTimeline } from '../../lib/song';
import { printedFret } from './offers';
import { type Told, table } from './output';

/** `backup`: what one player plays behind the singer, for the song as written. */
export function tellBackup(file: string, read: SongRead, setup: Setup): Result<Told> {
  const timeline = writtenTimeline(read.song);
  const notes = strumBackup({ timeline, startTick: 0, endTick: timeline.endTick, setup, away: [] });
  if (!notes.ok) return notes;
  const bars = timeline.bars.flatMap(({ startTick, endTick, number }) => {
    const inside = notes.value.filter((note) => note.tick >= startTick && note.tick < endTick);
    if (inside.length === 0) return [];
    return [
      `  bar ${number}`,
      ...table([
        ['    string', ...inside.map((note) => String(note.string))],
        ['    fret', ...inside.map((note) => String(printedFret(note, setup)))],
        ['    stroke', ...inside.map((note) => note.stroke ?? '-')],
      ]),
    ];
  });
  return ok({
    answer: {
      file,
      notes: notes.value.map((note) => ({
        tick: note.tick,
        ticks: note.ticks,
        midi: note.midi,
        string: note.string,
        fret: printedFret(note, setup),
        finger: note.finger,
        stroke: note.stroke,
        articulation: note.articulation,
      })),
    },
    text: [`${read.song.title} (${file})`, ...(bars.length > 0 ? bars : ['  no chords to play'])].join('\n'),
  });
}
