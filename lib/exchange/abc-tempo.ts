import { readTempo } from './abc-fields';
import type { Findings } from './report';

/** The tempo that a `Q:` field gives, in quarter notes a minute; null, and a word in the report, where it gives none that can be played. */
export function tempoOf(text: string, at: number, unit: number, findings: Findings): number | null {
  const field = readTempo(text, unit);
  if (field.kind === 'words') {
    findings.warn(`the tempo "${field.words}" says no number`);
    return null;
  }
  if (field.kind === 'none') {
    if (text.trim() !== '')
      findings.leftOut(`a tempo that cannot be read: "${text.trim().slice(0, 60)}"`, at);
    return null;
  }
  const { quartersPerMinute } = field;
  if (!(quartersPerMinute >= 10 && quartersPerMinute <= 600)) {
    const what = `a tempo of ${Math.round(quartersPerMinute * 10) / 10} quarter notes a minute: from 10 to 600 can be played`;
    findings.leftOut(what, at);
    return null;
  }
  if (field.outdated)
    findings.guessed(
      `the tempo "${text.trim()}" names no beat; it was counted in unit lengths (${findings.sayPlace(at)})`,
    );
  return quartersPerMinute;
}
