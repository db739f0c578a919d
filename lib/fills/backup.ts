import { fail, ok, type Reason, type Result } from '../base';
import { openStrings } from '../instruments';
import { bassBackup } from './backup-bass';
import { bowBackup } from './backup-bow';
import { chordBackup } from './backup-chords';
import { dynamicsOf } from './backup-dynamics';
import { WAY_OF, WAY_SAYS } from './backup-patterns';
import type { Backup, BackupRequest } from './backup-types';

/**
 * What a player plays behind the singer, through a stretch of the timeline, in the chords as they change: boom-chuck on guitar, chop on
 * mandolin and resonator guitar, vamp on banjo, root and fifth with walks on bass, long double-stops on fiddle, and a
 * soft chop where it keeps the chop for another.
 *
 * The model: the pattern says when (`BACKUP_PATTERNS`); what is held is the least sum of the shapes' own costs and of all changes of the
 * hand, in millimetres of the neck and fingers that move (`smoothestHolds`), exact over the shapes that are tried for each chord.
 * The player's fills count as places where the hand has been. A pickup and the time away are left free; a note before a fill ends where
 * it begins. No chord, no note. Where nobody sings it is half loud, under the voice soft.
 *
 * Errors: a voice, a setup that cannot be, a chord that no hand can hold.
 */
export function planBackup(request: BackupRequest): Result<Backup> {
  const { setup } = request;
  const way = WAY_OF[setup.instrument];
  if (way === null)
    return fail('a voice plays no backup', 'the player', 'choose a player with an instrument');
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const reasons: Reason[] = [{ rule: 'way', weight: 0, detail: WAY_SAYS[way] }];
  const dynamics = dynamicsOf(request);
  if (dynamics.some((each) => each.mark === 'p'))
    reasons.push({ rule: 'under the voice', weight: 0, detail: 'soft under the voice' });
  if (way === 'root and fifth') {
    const line = bassBackup(request, strings.value);
    if (!line.ok) return line;
    const { notes, walks } = line.value;
    if (walks > 0)
      reasons.push({
        rule: 'walks',
        weight: 0,
        detail: walks === 1 ? 'walks into a chord once' : `walks into a chord ${walks} times`,
      });
    return ok({ family: way, notes, dynamics, reasons });
  }
  const notes =
    way === 'long notes' ? bowBackup(request, strings.value) : chordBackup(request, way, strings.value);
  if (!notes.ok) return notes;
  return ok({ family: way, notes: notes.value, dynamics, reasons });
}
