import { itemAt, lastOf, ok, type Reason, type Result } from '../base';
import { INSTRUMENT_FACTS, openStrings, type Setup, tuningsOf } from '../instruments';
import {
  type Key,
  keyName,
  keySignature,
  pitchClassOf,
  scaleOf,
  spellPitchClass,
  transposeKey,
} from '../theory';
import { HIGHEST_FIFTH, HIGHEST_PROPOSED, KEY_COSTS, SHAPES, SHAPES_IN_TUNING, WITH_CAPO } from './costs';
import type { SetupForKey } from './types';

/** What a player had before, so that what was learned can stay. */
export interface Before {
  readonly setup: Setup;
  readonly key: Key;
}

/**
 * How a player could play in a key, the best first.
 *
 * Model: every capo up to `HIGHEST_PROPOSED` (none for mandolin, fiddle and bass), every place of a banjo's fifth string that it bears, the tuning
 * as it is or standard; each costs its shapes, its capo, what the fifth string sounds, and less where it is what the player had or keeps
 * the shapes (`KEY_COSTS` and `SHAPES`, points). Exact: all are tried.
 *
 * @param before the instrument, its tuning, and what was played in which key
 *
 * Errors: a setup that cannot be. A voice has none.
 */
export function setupsForKey(key: Key, before: Before): Result<readonly SetupForKey[]> {
  const strings = openStrings(before.setup);
  if (!strings.ok) return strings;
  const { instrument } = before.setup;
  if (strings.value.length === 0) return ok([]);
  const capos = WITH_CAPO.includes(instrument) ? range(HIGHEST_PROPOSED) : [0];
  const tunings = [...new Set([before.setup.tuning, 'standard'])];
  const found = tunings.flatMap((tuning) =>
    capos.flatMap((capo) =>
      fifthsFor(instrument, capo).map((fifthCapo) =>
        judged(key, { instrument, tuning, capo, fifthCapo }, before),
      ),
    ),
  );
  return ok(found.sort((a, b) => a.cost - b.cost || a.setup.capo - b.setup.capo));
}

const range = (most: number): number[] => Array.from({ length: most + 1 }, (_, i) => i);

/** The places of a banjo's fifth string; null for other instruments, and where it goes with the capo. */
function fifthsFor(instrument: Setup['instrument'], capo: number): (number | null)[] {
  if (instrument !== 'banjo') return [null];
  const apart = range(HIGHEST_FIFTH).filter((raised) => raised !== capo);
  return capo <= HIGHEST_FIFTH ? [null, ...apart] : apart;
}

function judged(key: Key, setup: Setup, before: Before): SetupForKey {
  const shapes = transposeKey(key, -setup.capo);
  const terms = [
    ...shapeTerms(shapes, setup),
    ...capoTerms(setup),
    ...fifthTerms(key, setup),
    ...changeTerms(key, setup, before),
  ].filter(({ weight }) => weight !== 0);
  return { setup, shapes, cost: terms.reduce((sum, { weight }) => sum + weight, 0), reasons: terms };
}

const term = (rule: string, weight: number, detail: string): Reason => ({ rule, weight, detail });

function shapeTerms(shapes: Key, { instrument, tuning }: Setup): Reason[] {
  const table = SHAPES_IN_TUNING[tuning] ?? SHAPES[instrument];
  if (table) {
    const tonic = itemAt(scaleOf(shapes), 0);
    const fact = table.find((each) => each.tonic === tonic);
    const minor = scaleOf(shapes)[2] === pitchClassOf(tonic + 3);
    const weight = fact ? (minor ? fact.minor : fact.major) : KEY_COSTS.otherShape;
    return [term('shapes', weight, `${keyName(shapes)} shapes`)];
  }
  const scale = scaleOf(shapes);
  const open = tuningsOf(instrument).find(({ name }) => name === tuning)?.midi ?? [];
  const outside = open.filter((midi) => !scale.includes(pitchClassOf(midi)));
  const accidentals = Math.abs(keySignature(shapes));
  return [
    term(
      'open strings',
      outside.length * KEY_COSTS.openOutside,
      `${outside.length} open ${outside.length === 1 ? 'string is' : 'strings are'} not in ${keyName(shapes)}`,
    ),
    term('accidentals', accidentals * KEY_COSTS.accidental, `${accidentals} sharps or flats`),
  ];
}

function capoTerms({ capo }: Setup): Reason[] {
  if (capo === 0) return [];
  const high = Math.max(0, capo - KEY_COSTS.highFrom);
  const weight = KEY_COSTS.capo + capo * KEY_COSTS.capoFret + high * KEY_COSTS.highFret;
  return [term('capo', weight, high > 0 ? `capo ${capo} leaves a short neck` : `capo ${capo}`)];
}

/** What the banjo's fifth string sounds, which rings through everything. */
function fifthTerms(key: Key, setup: Setup): Reason[] {
  if (setup.instrument !== 'banjo') return [];
  const tuning = itemAt(tuningsOf('banjo'), 0);
  const open = lastOf(tuningsOf('banjo').find(({ name }) => name === setup.tuning)?.midi ?? tuning.midi);
  const sounds = pitchClassOf(open + (setup.fifthCapo ?? setup.capo));
  const scale = scaleOf(key);
  const name = spellPitchClass(sounds, keySignature(key) < 0 ? 'flats' : 'sharps');
  const { fifthApart, fifthIsFifth, fifthInKey, fifthOutside } = KEY_COSTS;
  const weight =
    sounds === scale[0]
      ? 0
      : sounds === scale[4]
        ? fifthIsFifth
        : scale.includes(sounds)
          ? fifthInKey
          : fifthOutside;
  const role =
    sounds === scale[0] ? 'the tonic' : sounds === scale[4] ? 'the fifth' : 'neither tonic nor fifth';
  return [
    term('fifth string', weight, `the fifth string sounds ${name}, ${role}`),
    term(
      'fifth apart',
      setup.fifthCapo === null ? 0 : fifthApart,
      'the fifth string does not go with the capo',
    ),
  ];
}

function changeTerms(key: Key, setup: Setup, before: Before): Reason[] {
  const was = before.setup;
  const retuned = setup.tuning !== was.tuning && !sameStrings(setup, was);
  const raised = (each: Setup) => each.fifthCapo ?? each.capo;
  const same = setup.capo === was.capo && raised(setup) === raised(was) && !retuned;
  const by = pitchClassOf(itemAt(scaleOf(key), 0) - itemAt(scaleOf(before.key), 0));
  const keeps = !retuned && key.mode === before.key.mode && pitchClassOf(setup.capo - was.capo) === by;
  return [
    term('retuned', retuned ? KEY_COSTS.retuned : 0, `tuned to ${setup.tuning}`),
    term('as before', same ? KEY_COSTS.sameAsBefore : 0, 'set up as before'),
    term('same shapes', keeps ? KEY_COSTS.sameShapes : 0, 'the shapes stay as they were'),
  ];
}

function sameStrings(a: Setup, b: Setup): boolean {
  const midi = (setup: Setup) => {
    return INSTRUMENT_FACTS[setup.instrument].tunings.find(({ name }) => name === setup.tuning)?.midi;
  };
  return midi(a)?.join() === midi(b)?.join();
}
