import { itemAt } from '../base';
import { plainSetup, type Setup, tuningsOf } from '../instruments';
import { type PitchClass, pitchClassOf, pitchName, spellPitchClass } from '../theory';
import { CHANGE_SECONDS } from './costs';
import type { PlayerChange } from './types';

interface Step {
  readonly says: string;
  readonly seconds: number;
}

/**
 * What a player does from one setup to another; null where nothing.
 *
 * Model: an instrument that is put down rests without a capo in its standard tuning, and is taken up like that. Strings are
 * retuned without the capo; a tuning that is not known is taken to differ in a few strings. Seconds: `CHANGE_SECONDS`, one step after
 * another, since a player has two hands and one pair of ears. `prefer` spells the fifth string's note.
 */
export function changeOf(
  playerId: string,
  before: Setup,
  after: Setup,
  prefer: 'sharps' | 'flats' = 'sharps',
): PlayerChange | null {
  const other = before.instrument !== after.instrument;
  const from = other ? plainSetup(after.instrument) : before;
  const steps: Step[] = [];
  if (after.instrument !== 'voice') {
    if (other) steps.push({ says: `take up the ${after.instrument}`, seconds: CHANGE_SECONDS.instrument });
    steps.push(...retuned(from, after), ...capoMoved(from, after), ...fifthString(from, after, prefer));
  }
  if (steps.length === 0) return null;
  return {
    playerId,
    instrument: after.instrument,
    steps: steps.map((step) => step.says),
    seconds: steps.reduce((sum, step) => sum + step.seconds, 0),
  };
}

function capoMoved(before: Setup, after: Setup): Step[] {
  if (before.capo === after.capo) return [];
  if (after.capo === 0) return [{ says: 'capo off', seconds: CHANGE_SECONDS.capoOff }];
  const seconds = before.capo === 0 ? CHANGE_SECONDS.capoOn : CHANGE_SECONDS.capoMoved;
  return [{ says: `capo to ${after.capo}`, seconds }];
}

/** The banjo's fifth string has its own hooks: they go with the capo unless the setup says otherwise. */
function fifthString(before: Setup, after: Setup, prefer: 'sharps' | 'flats'): Step[] {
  if (after.instrument !== 'banjo') return [];
  const raised = (setup: Setup) => setup.fifthCapo ?? setup.capo;
  const by = raised(after) - raised(before);
  if (by === 0) return [];
  const open = tuningOf(after)?.[4] ?? itemAt(itemAt(tuningsOf('banjo'), 0).midi, 4);
  const sounds: PitchClass = pitchClassOf(open + raised(after));
  const says = `fifth string ${by > 0 ? 'up' : 'down'} to ${spellPitchClass(sounds, prefer)}`;
  return [{ says, seconds: CHANGE_SECONDS.fifthString }];
}

/** String by string; `standard` and another name may mean the same strings. */
function retuned(before: Setup, after: Setup): Step[] {
  if (before.tuning === after.tuning) return [];
  const [old, fresh] = [tuningOf(before), tuningOf(after)];
  const { string, semitone, lookOver, unknownStrings, unknownSemitones } = CHANGE_SECONDS;
  if (!old || !fresh) {
    const seconds = unknownStrings * (string + unknownSemitones * semitone) + lookOver;
    return [{ says: `tune to ${after.tuning}`, seconds }];
  }
  const steps = fresh.flatMap((midi, i): Step[] => {
    const by = midi - itemAt(old, i);
    if (by === 0) return [];
    return [
      {
        says: `string ${i + 1} ${by > 0 ? 'up' : 'down'} to ${pitchName(midi)}`,
        seconds: string + Math.abs(by) * semitone,
      },
    ];
  });
  return steps.map((step, i) => (i === 0 ? { ...step, seconds: step.seconds + lookOver } : step));
}

function tuningOf(setup: Setup): readonly number[] | null {
  return tuningsOf(setup.instrument).find(({ name }) => name === setup.tuning)?.midi ?? null;
}
