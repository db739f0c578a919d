import type { Band, Player } from '../../song';
import { settingOf } from '../../song';
import type { Arrangement } from '../arrangement';
import { type BackupInPass, backupBars, backupInPass, notesRows, timelineOf } from '../backup';
import type { Part } from '../part';
import { paragraph, textBlock } from './head';
import { moved } from './text';
import { type Block, type Measure, TURN_COSTS } from './types';

/** Bars of backup that stand side by side. */
const BARS_IN_ROW = 3;

/**
 * How a player backs the singer up, on paper: what it is, and one bar for each chord as it is first played; the rest goes on like that. No
 * blocks where the player has no backup in this song.
 */
export function backupBlocks(
  arrangement: Arrangement,
  band: Pick<Band, 'players'>,
  player: Player,
  part: Pick<Part, 'chordName'>,
  width: number,
  measure: Measure,
): readonly Block[] {
  const backups = backupsThatShow(arrangement, band, player);
  const bars = backupBars(arrangement, backups);
  const [first] = backups;
  if (first === undefined || bars.length === 0) return [];
  const { song } = arrangement;
  const notes = backups.flatMap((backup) => backup.notes);
  const says = first.reasons.map(({ detail }) => detail).filter((detail) => !detail.startsWith('walks'));
  const heading = paragraph('', 12, {
    runs: [
      { text: 'Backup  ', face: 'strong' },
      { text: `${says.join('; ')}. Each chord as it first comes; on like this.`, face: 'plain' },
    ],
  });
  const barWidth = width / BARS_IN_ROW;
  const drawn = bars.map(({ startTick }) => {
    const own = backups.find((backup) => backup.startTick <= startTick && backup.endTick > startTick);
    const timeline = timelineOf(arrangement, own ?? first);
    const [row] = notesRows(timeline, notes, [timeline.barAt(startTick)], {
      instrument: settingOf(song, player).instrument,
      key: song.key,
      width: barWidth - 18,
      chordName: part.chordName,
    });
    return row;
  });
  const rows: Block[] = [];
  for (let i = 0; i < drawn.length; i += BARS_IN_ROW) {
    const together = drawn.slice(i, i + BARS_IN_ROW);
    rows.push({
      height: Math.max(...together.map((row) => row?.height ?? 0)) + 4,
      drawing: together.flatMap((row, b) => (row ? moved(row.drawing, b * barWidth, 0) : [])),
      turn: i + BARS_IN_ROW < drawn.length ? TURN_COSTS.torn : TURN_COSTS.pass,
      mark: null,
    });
  }
  return [textBlock(heading, width, measure, 10), ...rows];
}

/** Backups of one pass of each section, until every chord of the song was in one: more would show nothing new. */
function backupsThatShow(
  arrangement: Arrangement,
  band: Pick<Band, 'players'>,
  player: Player,
): readonly BackupInPass[] {
  const { song, timeline } = arrangement;
  const written = new Set(timeline.chords.map(({ symbol }) => symbol));
  const unseen = new Set(written);
  const sections = new Set<string>();
  const backups: BackupInPass[] = [];
  // Sung passes first: that is where backup is behind somebody.
  const passes = [...song.passes].sort((a, b) => Number(a.stanza === null) - Number(b.stanza === null));
  for (const pass of passes) {
    if (unseen.size === 0 && written.size > 0) break;
    if (sections.has(pass.sectionId)) continue;
    const backup = backupInPass(arrangement, band, player, pass.id);
    if (!backup?.ok) continue;
    sections.add(pass.sectionId);
    backups.push(backup.value);
    for (const { symbol } of timeline.chordsIn(backup.value.startTick, backup.value.endTick))
      unseen.delete(symbol);
  }
  return backups;
}
