import type { Reason } from '../../base';
import type { InstrumentName, Setup } from '../../instruments';
import { type Key, type PitchClass, pitchClassOf, scaleOf } from '../../theory';

/**
 * Pitch classes of the keys whose tune lies among an instrument's open strings in standard tuning, major and minor, the best first. Fiddle, mandolin and
 * bass play every key without a capo. Common practice, no source.
 */
const OPEN_KEYS: Readonly<
  Partial<
    Record<InstrumentName, { readonly major: readonly PitchClass[]; readonly minor: readonly PitchClass[] }>
  >
> = {
  guitar: { major: [7, 0, 2, 9, 4], minor: [9, 4, 2] },
  banjo: { major: [7, 0, 2], minor: [4, 9, 2] },
  'resonator guitar': { major: [7, 2, 0], minor: [4, 9, 2] },
};
/** The banjo's fifth string is not brought further up than this. */
const HIGHEST_CAPO = 5;

const NAMES = ['C', 'D flat', 'D', 'E flat', 'E', 'F', 'F sharp', 'G', 'A flat', 'A', 'B flat', 'B'] as const;

/** For a break far from the open strings that is played without a capo: the lowest capo that would bring them, in words; null where it is well as it is. */
export function capoWords(setup: Setup, key: Key): Reason | null {
  const keys = OPEN_KEYS[setup.instrument];
  if (!keys || setup.capo > 0 || setup.tuning !== 'standard') return null;
  const scale = scaleOf(key);
  const tonic = scale[0];
  if (tonic === undefined) return null;
  const minor = scale.includes(pitchClassOf(tonic + 3));
  const open = minor ? keys.minor : keys.major;
  if (open.includes(tonic)) return null;
  for (let capo = 1; capo <= HIGHEST_CAPO; capo++) {
    const shape = pitchClassOf(tonic - capo);
    if (!open.includes(shape)) continue;
    const detail = `far from the open strings: a capo at ${capo} would make it ${NAMES[shape]}${minor ? ' minor' : ''}`;
    return { rule: 'capo', weight: 0, detail };
  }
  return null;
}
