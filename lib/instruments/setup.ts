import { fail, itemAt, ok, type Result } from '../base';
import { pitchName } from '../theory';
import type { InstrumentName } from './names';
import type { Setup } from './plan';
import { INSTRUMENT_FACTS, type Tuning } from './tunings';

/** One string as it is set up: what it sounds open, and how far up the neck it goes. */
export interface OpenString {
  /** 1 nearest the floor as the instrument is held. */
  readonly string: number;
  /** As sounded, with the capo on. */
  readonly midi: number;
  /** The fret of the neck at which it sounds open: the capo's, the nut's (0), the banjo's fifth string's own. */
  readonly openAtFret: number;
  /** The highest fret a hand reaches on it, counted from where it is open. */
  readonly highestFret: number;
}

/** A place on the instrument; the fret is counted from the capo (on a banjo's fifth string from its own nut). */
export interface Place {
  readonly string: number;
  readonly fret: number;
}

/** The setup with nothing done to it: standard tuning, no capo. */
export function plainSetup(instrument: InstrumentName): Setup {
  return { instrument, tuning: 'standard', capo: 0, fifthCapo: null };
}

/** The tunings of an instrument, `standard` first. */
export function tuningsOf(instrument: InstrumentName): readonly Tuning[] {
  return INSTRUMENT_FACTS[instrument].tunings;
}

/**
 * A tuning as somebody asks for it: by its name in any case, or by its open notes from the highest string number to the first ('A E A E'); null: the
 * instrument has none such.
 */
export function tuningAsked(instrument: InstrumentName, asked: string): Tuning | null {
  const plain = (text: string) => text.toLowerCase().replace(/[^a-z#]/g, '');
  const notes = ({ midi }: Tuning) =>
    midi.toReversed().map((each) => pitchName(each, 'sharps').replace(/\d/g, ''));
  const byName = tuningsOf(instrument).find(({ name }) => plain(name) === plain(asked));
  const byNotes = tuningsOf(instrument).find((tuning) => plain(notes(tuning).join('')) === plain(asked));
  return byName ?? byNotes ?? null;
}

/** How many strings an instrument has (a mandolin's course counts as one); 0 for a voice. */
export function stringCount(instrument: InstrumentName): number {
  return tuningsOf(instrument)[0]?.midi.length ?? 0;
}

/**
 * The strings of a setup, the first string first; none for a voice. A banjo's fifth string goes up with the capo
 * unless `fifthCapo` says by how many frets.
 *
 * Errors: a tuning that the instrument does not have, a capo where none can be.
 */
export function openStrings(setup: Setup): Result<readonly OpenString[]> {
  const facts = INSTRUMENT_FACTS[setup.instrument];
  if (facts.hand === 'none') return ok([]);
  const where = `the ${setup.instrument}'s setup`;
  const tuning = facts.tunings.find((each) => each.name === setup.tuning);
  if (!tuning) {
    const names = facts.tunings.map((each) => each.name).join(', ');
    return fail(`the ${setup.instrument} has no tuning '${setup.tuning}'`, where, `choose one of: ${names}`);
  }
  for (const capo of [setup.capo, setup.fifthCapo ?? 0]) {
    if (Number.isInteger(capo) && capo >= 0 && capo <= facts.highestCapo) continue;
    return facts.highestCapo === 0
      ? fail(`the ${setup.instrument} takes no capo`, where, 'set the capo to 0')
      : fail(
          `a capo at fret ${capo} leaves too little of the ${setup.instrument}`,
          where,
          `set the capo to a whole number from 0 to ${facts.highestCapo}`,
        );
  }
  return ok(
    tuning.midi.map((midi, index) => {
      const string = index + 1;
      const startsAt = facts.startsAtFret[string] ?? 0;
      const capo = startsAt > 0 ? (setup.fifthCapo ?? setup.capo) : setup.capo;
      return {
        string,
        midi: midi + capo,
        openAtFret: startsAt + capo,
        highestFret: facts.frets - startsAt - capo,
      };
    }),
  );
}

/** Every place where a pitch can be had, the first string first; none where it is out of reach. */
export function placesOf(strings: readonly OpenString[], midi: number): readonly Place[] {
  return strings
    .map(({ string, midi: open, highestFret }) => ({ string, fret: midi - open, highestFret }))
    .filter(({ fret, highestFret }) => fret >= 0 && fret <= highestFret)
    .map(({ string, fret }) => ({ string, fret }));
}

/** The lowest and the highest pitch of a setup, as sounded. Errors as `openStrings`, and a voice, which has no strings. */
export function rangeOf(setup: Setup): Result<{ readonly lowest: number; readonly highest: number }> {
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  if (strings.value.length === 0) {
    return fail(
      'a voice has no strings',
      'the voice',
      "ask the singer for the voice's lowest and highest note",
    );
  }
  return ok({
    lowest: Math.min(...strings.value.map((each) => each.midi)),
    highest: Math.max(...strings.value.map((each) => each.midi + each.highestFret)),
  });
}

/** The MIDI note number under which a sounding pitch is written for an instrument. */
export function writtenMidi(instrument: InstrumentName, midi: number): number {
  return midi + INSTRUMENT_FACTS[instrument].writtenAbove;
}

/**
 * How far fret n lies from the nut: L(1 − 2^(−n/12)). Equal temperament; the string loses 1/17.817 of what is left
 * at each fret.
 */
export function fretMillimetres(scaleMillimetres: number, fret: number): number {
  return scaleMillimetres * (1 - 2 ** (-fret / 12));
}

/** From one fret of the neck to another, both counted from the nut (with a capo on: its fret added). */
export function betweenFretsMillimetres(scaleMillimetres: number, from: number, to: number): number {
  return Math.abs(fretMillimetres(scaleMillimetres, to) - fretMillimetres(scaleMillimetres, from));
}

/** Where a place lies on the neck, in millimetres from the nut. */
export function placeMillimetres(
  instrument: InstrumentName,
  strings: readonly OpenString[],
  place: Place,
): number {
  const { openAtFret } = itemAt(strings, place.string - 1);
  return fretMillimetres(INSTRUMENT_FACTS[instrument].scaleMillimetres, openAtFret + place.fret);
}
