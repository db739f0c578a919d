import { numberAt } from './column';
import type { Ledger, Rule } from './ledger';
import type { VoiceLine } from './voice-line';
import type { Weights } from './weights';

const OPENING: Rule = {
  name: 'opening',
  row: 'opening',
  says: () => 'what follows begins as the song began',
};
const OPENING_RHYTHM: Rule = {
  name: 'opening rhythm',
  row: 'openingRhythm',
  says: () => 'what follows has the rhythm that the song began with',
};
const REPEAT: Rule = { name: 'repeat', row: 'repeat', says: () => 'something sung before begins again' };

/** Fewer notes than this are alike by chance. */
const FEWEST_ALIKE = 3;

/**
 * Enters where something comes back: the opening, or what began after an earlier note with another note before it (else the
 * likeness began earlier). Notes are alike where the time to the next note is the same, and the step from the note
 * before, but for the first. Of several earlier places the last one with the same three notes is compared. O(notes).
 */
export function weighEchoes(line: VoiceLine, ledger: Ledger, weights: Weights): void {
  const opening = ledger.open(OPENING);
  const openingRhythm = ledger.open(OPENING_RHYTHM);
  const repeat = ledger.open(REPEAT);
  const lastSeen = new Map<number, number>();
  for (let j = 0; j + 1 < line.count; j++) {
    if (j > 0) {
      const alike = countAlike(line, 0, j, weights.openingNotes, true);
      if (alike >= FEWEST_ALIKE) opening(j - 1, alike / weights.openingNotes);
      const rhythm = countAlike(line, 0, j, weights.openingNotes, false);
      if (rhythm >= FEWEST_ALIKE) openingRhythm(j - 1, rhythm / weights.openingNotes);
    }
    const key = keyOfThree(line, j);
    if (key === null) continue;
    const i = lastSeen.get(key);
    lastSeen.set(key, j);
    if (i === undefined || j === 0 || (i > 0 && isAlike(line, i - 1, j - 1, i, j))) continue;
    const alike = countAlike(line, i, j, weights.repeatNotes, true);
    if (alike >= FEWEST_ALIKE) repeat(j - 1, alike / weights.repeatNotes);
  }
}

/** Whether the notes before two others are alike, and lead to them by the same step. */
function isAlike(line: VoiceLine, beforeI: number, beforeJ: number, i: number, j: number): boolean {
  return (
    numberAt(line.steps, beforeI) === numberAt(line.steps, beforeJ) &&
    numberAt(line.intervals, i) === numberAt(line.intervals, j)
  );
}

/** How many notes from two places on are alike, the earlier ones not reaching into the later. */
function countAlike(line: VoiceLine, i: number, j: number, most: number, pitches: boolean): number {
  let alike = 0;
  while (
    alike < most &&
    j + alike < line.count &&
    i + alike < j &&
    numberAt(line.steps, i + alike) === numberAt(line.steps, j + alike) &&
    (!pitches || alike === 0 || numberAt(line.intervals, i + alike) === numberAt(line.intervals, j + alike))
  ) {
    alike += 1;
  }
  return alike;
}

/** One number for three notes' times and the steps between the four; null where there are none or a pitch is not known. */
function keyOfThree(line: VoiceLine, j: number): number | null {
  if (j + FEWEST_ALIKE >= line.count) return null;
  let key = 7;
  for (let k = 0; k < FEWEST_ALIKE; k++) {
    const interval = numberAt(line.intervals, j + k + 1);
    if (Number.isNaN(interval)) return null;
    key = Math.imul(key, 31) + numberAt(line.steps, j + k);
    key = Math.imul(key, 31) + interval + 128;
  }
  return key | 0;
}
