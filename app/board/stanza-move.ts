import { fail, type MakeId, ok, type Result } from '../../lib/base';
import type { Pass, Song } from '../../lib/song';
import { laidAsWritten, moveSyllable, planSung, type SungChange, sheetOf, withSung } from '../../lib/taps';
import type { Ticks } from '../../lib/time';

export interface StanzaMove {
  readonly change: SungChange;
  /** The note on which the word is then sung. */
  readonly noteId: string;
}

const noStress = () => [];

/** A word moved in one stanza alone: the others go on singing it where they did, and what hangs on it stays with the word. */
export function moveInStanza(
  song: Song,
  pass: Pass,
  noteId: string,
  by: Ticks,
  makeId: MakeId,
): Result<StanzaMove> {
  const voiceId = song.notes.find(({ id }) => id === noteId)?.voiceId;
  const sheet = sheetOf(song, pass, noStress, voiceId);
  const line =
    sheet?.lines.findIndex(({ syllables }) => syllables.some((one) => one.noteId === noteId)) ?? -1;
  const index = sheet?.lines[line]?.syllables.findIndex((one) => one.noteId === noteId) ?? -1;
  if (!sheet || index < 0)
    return fail('The word is not there any more', noteId, 'Look at the page as it is now');
  const before = laidAsWritten(sheet);
  const lines = moveSyllable(before, line, index, by, false, sheet.endTick);
  if (lines === before)
    return fail(
      by < 0 ? 'There is no room before it' : 'There is no room after it',
      noteId,
      'Move its neighbour first',
    );
  const change = planSung(song, [{ sheet, lines }], makeId);
  const now = sheetOf(withSung(song, change), pass, noStress, voiceId);
  return ok({ change, noteId: now?.lines[line]?.syllables[index]?.noteId ?? noteId });
}
