import { ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import { planBackup } from '../../lib/fills';
import type { Setup } from '../../lib/instruments';
import { writtenTimeline } from '../../lib/song';
import { reasonAnswer } from './free';
import { noteAnswer } from './offers';
import type { Told } from './output';
import { textTab } from './text-tab';

/** `backup`: what one player plays behind the singer, for the song as written. */
export function tellBackup(file: string, read: SongRead, setup: Setup): Result<Told> {
  const timeline = writtenTimeline(read.song);
  const backup = planBackup({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup,
    away: [],
    keepsChop: [],
  });
  if (!backup.ok) return backup;
  const { family, notes, dynamics, reasons, chordsWorkedOut } = backup.value;
  return ok({
    answer: {
      file,
      family,
      notes: notes.map((note) => noteAnswer(note, setup)),
      dynamics,
      chordsWorkedOut: chordsWorkedOut !== null,
      reasons: reasons.map(reasonAnswer),
    },
    text: [
      `${read.song.title} (${file})`,
      `  ${[family, ...reasons.map((reason) => reason.detail)].join('; ')}`,
      ...(notes.length > 0 ? textTab(timeline.bars, notes, setup) : []),
    ].join('\n'),
  });
}
