import { itemAt, randomFrom } from '../base';
import type { Articulation, OpenString } from '../instruments';
import { type Chord, pitchClassOf, toneOf } from '../theory';
import { secondsOf } from '../time';
import type { DraftNote } from './candidate';
import { SHORTEST_GRACE_SECONDS } from './costs';
import type { Scene, Slot } from './scene';

interface Grace {
  readonly midi: number;
  /** What it goes to; null: the roll's own note. */
  readonly to: number | null;
  readonly articulation: Articulation;
  /** Points for how well it sounds. Common practice, no source. */
  readonly worth: number;
}

/**
 * A roll with slurs put in, one for about every half bar at most, in some rolls none: a note is struck on its string just below (or above)
 * the chord tone and hammered (pulled, slid) onto it within its own time. The flat third into the third first; then from the
 * open string; then a step of the key; on the banjo's third string a slide up to the third. Where they stand differs, by the
 * seed, from space to space; seldom on the very first note. Strings and onsets of the roll stay as they are.
 */
export function withGraces(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  slots: readonly Slot[],
  seed: number,
): readonly DraftNote[] {
  const first = slots[0];
  if (!first) return notes;
  const half = first.ticks / 2;
  if (secondsOf(half, scene.quartersPerMinute) < SHORTEST_GRACE_SECONDS) return notes;
  const random = randomFrom(seed);
  if (random() < PLAIN) return notes;
  const found = notes.flatMap((note, index) => {
    const slot = itemAt(slots, index);
    const grace = note.ticks > half && index < notes.length - 1 ? graceFor(scene, strings, note, slot) : null;
    const opening = index === 0 ? OPENING_SLUR : 0;
    const beat = slot.strength >= 2 ? 0.4 : 0;
    const varied = random() * VARIETY;
    return grace ? [{ index, grace, worth: grace.worth + opening + beat + varied }] : [];
  });
  found.sort((a, b) => b.worth - a.worth || a.index - b.index);
  const most = 1 + Math.floor(random() * Math.max(1, Math.floor(notes.length / 4)));
  const chosen = new Map<number, Grace>();
  for (const { index, grace } of found) {
    if (chosen.size >= most) break;
    if ([...chosen.keys()].some((other) => Math.abs(other - index) < 3)) continue;
    chosen.set(index, grace);
  }
  return notes.flatMap((note, index) => {
    const grace = chosen.get(index);
    if (!grace) return [note];
    return [
      { ...note, ticks: half, midi: grace.midi },
      {
        ...note,
        tick: note.tick + half,
        ticks: note.ticks - half,
        midi: grace.to ?? note.midi,
        articulation: grace.articulation,
      },
    ];
  });
}

/** The share of rolls that are left plain; what a slur on the first note is worth less; the seeded difference between places. */
const PLAIN = 0.12;
const OPENING_SLUR = -1.8;
const VARIETY = 2.2;

function graceFor(scene: Scene, strings: readonly OpenString[], note: DraftNote, slot: Slot): Grace | null {
  const open = strings[(note.string ?? 0) - 1];
  // A drone's short string is left alone.
  if (!open || (scene.setup.instrument === 'banjo' && open.string === 5)) return null;
  const fret = note.midi - open.midi;
  const { chord } = slot.harmony;
  const tone = toneOf(chord, note.midi);
  if (!tone) return null;
  const inKey = (midi: number) => scene.scale.includes(pitchClassOf(midi));
  if (scene.setup.instrument === 'banjo' && open.string === 3 && fret === 0 && isThird(chord, note.midi + 4))
    return { midi: note.midi + 2, to: note.midi + 4, articulation: 'slide', worth: 2.2 };
  if (tone.above === 4 && fret >= 1)
    return {
      to: null,
      midi: note.midi - 1,
      articulation: fret >= 2 && scene.setup.instrument !== 'guitar' ? 'slide' : 'hammer',
      worth: 3,
    };
  if (fret === 2 && inKey(open.midi))
    return { midi: open.midi, to: null, articulation: 'hammer', worth: 2.2 };
  if (fret === 1 && inKey(open.midi)) return { midi: open.midi, to: null, articulation: 'hammer', worth: 2 };
  if (fret === 0) {
    const above = [2, 1, 3].find((step) => inKey(note.midi + step));
    return above
      ? { midi: note.midi + above, to: null, articulation: 'pull', worth: above === 2 ? 2 : 1.6 }
      : null;
  }
  if (fret >= 3 && inKey(note.midi - 2))
    return { midi: note.midi - 2, to: null, articulation: 'slide', worth: 1.5 };
  return null;
}

function isThird(chord: Chord, midi: number): boolean {
  return toneOf(chord, midi)?.above === (chord.third === 'major' ? 4 : 3);
}
