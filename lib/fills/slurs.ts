import { itemAt, randomFrom } from '../base';
import type { Articulation, OpenString } from '../instruments';
import { pitchClassOf, toneOf } from '../theory';
import { secondsOf } from '../time';
import type { DraftNote } from './candidate';
import { SHORTEST_GRACE_SECONDS } from './costs';
import type { Scene, Slot } from './scene';

interface Grace {
  readonly midi: number;
  readonly articulation: Articulation;
  /** Points for how well it sounds. Common practice, no source. */
  readonly worth: number;
}

/**
 * A roll with slurs put in, one for about every half bar: a note is struck on its string just below (or above) the chord tone and
 * hammered (pulled, slid) onto it within its own time. The flat third into the third first; then from the open string;
 * then a step of the key. Strings and onsets of the roll stay as they are.
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
  const found = notes.flatMap((note, index) => {
    const slot = itemAt(slots, index);
    const grace = note.ticks > half && index < notes.length - 1 ? graceFor(scene, strings, note, slot) : null;
    const beat = slot.strength >= 2 ? 0.6 : 0;
    return grace ? [{ index, grace, worth: grace.worth + beat + random() * 0.5 }] : [];
  });
  found.sort((a, b) => b.worth - a.worth || a.index - b.index);
  const most = Math.max(1, Math.floor(notes.length / 4));
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
      { ...note, tick: note.tick + half, ticks: note.ticks - half, articulation: grace.articulation },
    ];
  });
}

function graceFor(scene: Scene, strings: readonly OpenString[], note: DraftNote, slot: Slot): Grace | null {
  const open = strings[(note.string ?? 0) - 1];
  // A drone's short string is left alone.
  if (!open || (scene.setup.instrument === 'banjo' && open.string === 5)) return null;
  const fret = note.midi - open.midi;
  const tone = toneOf(slot.harmony.chord, note.midi);
  if (!tone) return null;
  const inKey = (midi: number) => scene.scale.includes(pitchClassOf(midi));
  if (tone.above === 4 && fret >= 1)
    return {
      midi: note.midi - 1,
      articulation: fret >= 2 && scene.setup.instrument !== 'guitar' ? 'slide' : 'hammer',
      worth: 3,
    };
  if (fret === 2 && inKey(open.midi)) return { midi: open.midi, articulation: 'hammer', worth: 2.2 };
  if (fret === 1 && inKey(open.midi)) return { midi: open.midi, articulation: 'hammer', worth: 2 };
  if (fret === 0) {
    const above = [2, 1, 3].find((step) => inKey(note.midi + step));
    return above ? { midi: note.midi + above, articulation: 'pull', worth: above === 2 ? 2 : 1.6 } : null;
  }
  if (fret >= 3 && inKey(note.midi - 2)) return { midi: note.midi - 2, articulation: 'slide', worth: 1.5 };
  return null;
}
