import { itemAt } from '../../base';
import { pitchClassOf, toneOf } from '../../theory';
import { secondsOf } from '../../time';
import { SHORTEST_GRACE_SECONDS } from '../costs';
import type { Scene } from '../scene';
import type { Laid } from './lay';
import type { Model } from './model';

/** A long note is bowed again in a shuffle from this length on; two short bows after one long. */
const SHUFFLED = 1920;
/** A note of a beat is short enough to be joined to the next by a passing note. */
const BEAT = 960;
const EIGHTH = 480;

/** The frets of a slide into a note. */
const SLIDE_FRETS = [2, 1];

/**
 * A plain tune ornamented, by instrument. Fiddle: long notes are bowed again, one long and two short, the next string below sounding with
 * them where it is in the chord and open; a leap of a third after a beat is filled by a slurred note of the key. Resonator guitar: the bar
 * slides into notes of a beat or more on strong beats, and takes the string below with it in long ones. Every note of the tune keeps its
 * beat (a slid one sounds at most an eighth after it).
 * Common practice, no source.
 */
export function ornamented(scene: Scene, model: Model, notes: readonly Laid[]): readonly Laid[] {
  switch (model.instrument) {
    case 'fiddle':
      return notes.flatMap((note, i) => fiddled(scene, model, note, notes[i + 1] ?? null));
    case 'resonator guitar':
      return notes.flatMap((note, i) => slid(scene, model, note, notes[i - 1] ?? null));
    default:
      return notes;
  }
}

function fiddled(scene: Scene, model: Model, note: Laid, next: Laid | null): readonly Laid[] {
  if (note.kind !== 'tune') return [note];
  const { strength } = itemAt(model.moments, note.moment);
  if (note.ticks >= SHUFFLED && strength >= 2 && next !== null) {
    const bows: Laid[] = [];
    for (let at = 0; at + EIGHTH <= note.ticks; ) {
      // Long, short, short: the figure fills two beats; what is left over is one bow.
      const left = note.ticks - at;
      const ticks = left < SHUFFLED && at % SHUFFLED === 0 ? left : at % SHUFFLED === 0 ? BEAT : EIGHTH;
      bows.push({
        ...note,
        tick: note.tick + at,
        ticks: Math.min(ticks, left),
        tune: at === 0 ? note.tune : null,
      });
      at += ticks;
    }
    const lower = bows.flatMap((bow) => {
      const with_ = openBelow(model, bow);
      return with_ ? [{ ...bow, ...with_, kind: 'added' as const, tune: null }] : [];
    });
    return [...bows, ...lower].sort((a, b) => a.tick - b.tick || (b.string ?? 0) - (a.string ?? 0));
  }
  const third = next === null ? 0 : Math.abs(next.midi - note.midi);
  if (
    next &&
    next.kind === 'tune' &&
    note.ticks >= BEAT &&
    note.ticks < SHUFFLED &&
    (third === 3 || third === 4)
  ) {
    const between = [1, 2, 3].map((step) => note.midi + Math.sign(next.midi - note.midi) * step);
    const midi = between.find((each) => scene.scale.includes(pitchClassOf(each)) && each !== next.midi);
    const open = model.strings.find((each) => each.string === note.string);
    const within = next.tick === note.tick + note.ticks;
    if (midi !== undefined && open && midi >= open.midi && within) {
      const half = note.ticks - EIGHTH;
      return [
        { ...note, ticks: half },
        {
          ...note,
          tick: note.tick + half,
          ticks: EIGHTH,
          midi,
          fret: midi - open.midi,
          articulation: 'slurred',
          kind: 'added',
          tune: null,
        },
      ];
    }
  }
  return [note];
}

/** The open string below a note, where its chord has it. */
function openBelow(model: Model, note: Laid): Pick<Laid, 'string' | 'fret' | 'midi'> | null {
  const open = model.strings.find((each) => each.string === (note.string ?? 0) + 1);
  const { chord } = itemAt(model.moments, note.moment).harmony;
  return open && toneOf(chord, open.midi) ? { string: open.string, fret: 0, midi: open.midi } : null;
}

function slid(scene: Scene, model: Model, note: Laid, before: Laid | null): readonly Laid[] {
  if (note.kind !== 'tune' || note.fret < 2 || note.ticks < BEAT) return [note];
  const { strength, harmony } = itemAt(model.moments, note.moment);
  if (strength < 2) return [note];
  const grace = EIGHTH / 2;
  const quick = secondsOf(grace, scene.quartersPerMinute) < SHORTEST_GRACE_SECONDS;
  const frets = SLIDE_FRETS.find(
    (each) => note.fret - each > 0 && scene.scale.includes(pitchClassOf(note.midi - each)),
  );
  // The same note again is struck as it is.
  const slides = !quick && frets !== undefined && before?.midi !== note.midi && strength >= 3;
  const main: readonly Laid[] = slides
    ? [
        { ...note, ticks: grace, midi: note.midi - frets, fret: note.fret - frets },
        { ...note, tick: note.tick + grace, ticks: note.ticks - grace, articulation: 'slide', tune: null },
      ]
    : [note];
  const below = model.strings.find((each) => each.string === (note.string ?? 0) + 1);
  if (slides || note.ticks < SHUFFLED || !below || !toneOf(harmony.chord, below.midi + note.fret))
    return main;
  return [
    { ...note, string: below.string, midi: below.midi + note.fret, kind: 'added', tune: null },
    ...main,
  ];
}
