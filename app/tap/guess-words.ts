import type { TapReading } from '../../lib/taps';

/** What the taps said, in sentences. */
export function readingInWords(reading: TapReading | null, doubts: number): string {
  if (!reading) return 'As the song has it now. Move what is sung elsewhere.';
  const parts: string[] = [];
  const { slips, missed, leanSeconds } = reading;
  const lean = Math.round(Math.abs(leanSeconds) * 1000);
  parts.push(
    lean >= 10
      ? `You tap ${lean} ms ${leanSeconds < 0 ? 'ahead of' : 'behind'} the beat; that is taken out.`
      : 'You tap on the beat.',
  );
  if (slips.length > 0)
    parts.push(
      slips.length === 1 ? 'One tap was taken as a slip.' : `${slips.length} taps were taken as slips.`,
    );
  if (missed.length > 0)
    parts.push(
      missed.length === 1
        ? 'One tap is missing; its place is guessed.'
        : `${missed.length} taps are missing; their places are guessed.`,
    );
  if (doubts > 0)
    parts.push(
      doubts === 1
        ? 'One place is in doubt, marked with a dotted line.'
        : `${doubts} places are in doubt, marked with a dotted line.`,
    );
  return parts.join(' ');
}

/** That lines reach outside the section's bars, and what can be done. */
export function outsideInWords(count: number, isInTheWay: boolean, needsPickup: boolean): string {
  const what = count === 1 ? 'One line reaches' : `${count} lines reach`;
  const it = count === 1 ? 'it' : 'them';
  const mend = needsPickup ? 'put in a pickup or bars' : 'put in bars';
  return isInTheWay
    ? `${what} outside this section’s bars, and there is no room to leave ${it} as before. ${mend.charAt(0).toUpperCase()}${mend.slice(1)}, or move what is outside:`
    : `${what} outside this section’s bars and would stay as before. Move ${it}, or ${mend}:`;
}
