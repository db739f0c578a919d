import { fail, ok, type Reason, type Result } from '../base';
import { openStrings } from '../instruments';
import { bassBackup } from './backup-bass';
import { bowBackup } from './backup-bow';
import { chordBackup } from './backup-chords';
import { dynamicsOf } from './backup-dynamics';
import { withChords } from './backup-harmony';
import { leftOutReason } from './backup-left-out';
import { WAY_OF, WAY_SAYS } from './backup-patterns';
import type { Backup, BackupRequest } from './backup-types';
import { CHORDS_WORKED_OUT } from './break/harmony';

/**
 * What a player plays behind the singer, through a stretch of the timeline, in the chords as they change: boom-chuck on guitar, chop on
 * mandolin and resonator guitar, vamp on banjo, root and fifth with walks on bass, long double-stops on fiddle, and a
 * soft chop where it keeps the chop for another.
 *
 * The model: the pattern says when (`BACKUP_PATTERNS`); what is held is the least sum of the shapes' own costs and of all changes of the
 * hand, in millimetres of the neck and fingers that move (`smoothestHolds`), exact over the shapes that are tried for each chord.
 * The player's fills count as places where the hand has been. A pickup and the time away are left free; a note before a fill ends where
 * it begins. Where no chord
 * is written they are taken from what the voices sing, and that is said. No chord, no note. Where nobody sings it is half loud, under the voice soft.
 *
 * Errors: a voice, a setup that cannot be, a chord that no hand can hold.
 */
export function planBackup(asked: BackupRequest): Result<Backup> {
  const { setup } = asked;
  const way = WAY_OF[setup.instrument];
  if (way === null)
    return fail('a voice plays no backup', 'the player', 'choose a player with an instrument');
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const { request, chordsWorkedOut } = withChords(asked);
  const { chords } = request.timeline;
  const played =
    way === 'root and fifth'
      ? bassBackup(request, strings.value)
      : way === 'long notes'
        ? bowBackup(request, strings.value)
        : chordBackup(request, way, strings.value);
  if (!played.ok) return played;
  const { notes, walks } = played.value;
  if (notes.length === 0) return ok(rest(request));
  const dynamics = dynamicsOf(request);
  const reasons: Reason[] = [{ rule: 'way', weight: 0, detail: WAY_SAYS[played.value.way] }];
  if (dynamics.some((each) => each.mark === 'p'))
    reasons.push({ rule: 'under the voice', weight: 0, detail: 'soft under the voice' });
  if (walks > 0)
    reasons.push({
      rule: 'walks',
      weight: 0,
      detail: walks === 1 ? 'walks into a chord once' : `walks into a chord ${walks} times`,
    });
  const leftOut = way === 'root and fifth' ? null : leftOutReason(request.timeline, notes);
  if (leftOut) reasons.push(leftOut);
  if (chordsWorkedOut) reasons.push(CHORDS_WORKED_OUT);
  return ok({
    family: played.value.way === 'soft chops' ? 'soft chops' : way,
    notes,
    dynamics,
    reasons,
    chordsWorkedOut: chordsWorkedOut ? chords : null,
  });
}

/** Nothing is played: no chord stands or is sung there, or a fill of the player's leaves no room. */
function rest({ timeline, startTick, endTick }: BackupRequest): Backup {
  const isSilent = timeline.chordsIn(startTick, endTick).length === 0;
  const detail = isSilent
    ? 'no chords are written or sung here: nothing to play'
    : 'no chord leaves room for backup here';
  const reasons: readonly Reason[] = [{ rule: 'nothing to play', weight: 0, detail }];
  return { family: 'rest', notes: [], dynamics: [], reasons, chordsWorkedOut: null };
}
