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

/**
 * A plain tune ornamented, by instrument. Fiddle: long notes are bowed again, one long and two short, the next string below sounding with
 * them where it is in the chord and open; a leap of a third after a beat is filled by a slurred note of the key. Resonator guitar: the bar
 * slides into notes of a beat or more on downbeats and into long ones, lets go to an open string or hammers off the beat, and long notes
 * are rolled out over the strings under it. Every note of the tune keeps its
 * beat (a slid one sounds at most an eighth after it).
 * Common practice, no source.
 */
export function ornamented(scene: Scene, model: Model, notes: readonly Laid[]): readonly Laid[] {
  switch (model.instrument) {
    case 'fiddle':
      return notes.flatMap((note, i) => fiddled(scene, model, note, notes[i + 1] ?? null));
    case 'resonator guitar':
      return notes.flatMap((note, i) => slid(scene, model, note, notes[i - 1] ?? null, notes[i + 1] ?? null));
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

function slid(
  scene: Scene,
  model: Model,
  note: Laid,
  before: Laid | null,
  next: Laid | null,
): readonly Laid[] {
  if (note.kind !== 'tune') return [note];
  const { strength } = itemAt(model.moments, note.moment);
  const onBar = barSlur(note, before, strength);
  if (onBar) return [{ ...note, articulation: onBar }];
  const long = note.ticks >= SHUFFLED;
  const rolled = long && next !== null ? barRoll(scene, model, note) : [];
  const main = { ...note, ticks: rolled[0] ? rolled[0].tick - note.tick : note.ticks };
  const grace = EIGHTH / 2;
  const quick = secondsOf(grace, scene.quartersPerMinute) < SHORTEST_GRACE_SECONDS;
  // The same note again is struck as it is; so is one that is over too soon.
  const slides =
    !quick && note.fret >= 2 && note.ticks >= BEAT && before?.midi !== note.midi && (strength === 4 || long);
  if (!slides || main.ticks < EIGHTH) return [main, ...rolled];
  const inKey = note.fret > 2 && scene.scale.includes(pitchClassOf(note.midi - 2));
  const frets = inKey ? 2 : 1;
  return [
    { ...main, ticks: grace, midi: note.midi - frets, fret: note.fret - frets },
    { ...main, tick: note.tick + grace, ticks: main.ticks - grace, articulation: 'slide', tune: null },
    ...rolled,
  ];
}

/** Frets from which the bar lets go to the open string, or on which it hammers. Common practice, no source. */
const NEAR_FRETS = 4;

/** Off the beat and within an eighth of the note before on its string: the bar lets go to the open string, or hammers onto it. */
function barSlur(note: Laid, before: Laid | null, strength: number): 'pull' | 'hammer' | null {
  if (!before || before.string !== note.string || before.kind !== 'tune' || strength >= 2) return null;
  if (before.tick + before.ticks < note.tick || note.tick - before.tick > BEAT) return null;
  if (note.fret === 0 && before.fret > 0 && before.fret <= NEAR_FRETS) return 'pull';
  return before.fret === 0 && note.fret > 0 && note.fret <= NEAR_FRETS ? 'hammer' : null;
}

/** A long note rolled out under one bar, in eighths: the two strings below it in pitch, then itself again. */
function barRoll(scene: Scene, model: Model, note: Laid): readonly Laid[] {
  if (itemAt(scene.steps, 0) !== EIGHTH || note.tick % EIGHTH !== 0) return [];
  const { chord } = itemAt(model.moments, note.moment).harmony;
  const below = [2, 1].flatMap((across) => {
    const open = model.strings.find((each) => each.string === (note.string ?? 0) + across);
    return open && toneOf(chord, open.midi + note.fret) ? [open] : [];
  });
  if (below.length < 2) return [];
  const places = [
    ...below.map(({ string, midi }) => ({ string, midi: midi + note.fret })),
    { string: note.string, midi: note.midi },
  ];
  const count = Math.floor(note.ticks / EIGHTH) - 1;
  return Array.from({ length: count }, (_, k) => {
    const tick = note.tick + (k + 1) * EIGHTH;
    const place = itemAt(places, k % places.length);
    return { ...note, ...place, tick, ticks: EIGHTH, kind: 'roll' as const, tune: null };
  });
}
