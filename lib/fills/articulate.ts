import { itemAt } from '../base';
import type { Articulation, HandPlan } from '../instruments';
import type { DraftNote } from './candidate';
import { SLUR_COSTS } from './costs';
import { strokesFor } from './right-hand';
import { type Scene, strengthAt } from './scene';

/** Slurs take at most this share of a run's notes. */
const MOST_SLURRED = 0.34;
/** Frets that a hammer-on or a pull-off spans. */
const WIDEST_SLUR = 3;

/**
 * Bow slurs: two notes to a bow where the second is off the beat, then two bows of their own. They begin at the first, second or third
 * such place, or at none: whichever leaves the fewest downbeats on an up-bow. Null where none is best.
 */
export function bowSlurs(
  scene: Scene,
  notes: readonly DraftNote[],
  hand: HandPlan,
): readonly DraftNote[] | null {
  // The strings stay as they were planned: a bow goes from one to its neighbour, no further.
  const kept = notes.map((note, i) => ({ ...note, string: itemAt(hand.fingerings, i).string }));
  let best: readonly DraftNote[] | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const skip of [0, 1, 2]) {
    const slurred = slurredFrom(scene, kept, skip);
    if (!slurred) continue;
    const against = strokesFor(scene, slurred, hand).filter((stroke) => stroke.exception).length;
    if (against < fewest) {
      fewest = against;
      best = slurred;
    }
  }
  const plain = strokesFor(scene, notes, hand).filter((stroke) => stroke.exception).length;
  return plain < fewest ? null : best;
}

function slurredFrom(
  scene: Scene,
  notes: readonly (DraftNote & { readonly string: number })[],
  skip: number,
): readonly DraftNote[] | null {
  let found = 0;
  let since = 2;
  const slurred = notes.map((note, i) => {
    const before = notes[i - 1];
    since += 1;
    if (!before || i === notes.length - 1 || since < 3 || before.tick === note.tick) return note;
    if (before.tick + before.ticks < note.tick || Math.abs(note.string - before.string) > 1) return note;
    if (strengthAt(scene.timeline, note.tick) >= strengthAt(scene.timeline, before.tick)) return note;
    found += 1;
    if (found <= skip) return note;
    since = 0;
    return { ...note, articulation: 'slurred' as const };
  });
  return found > skip ? slurred : null;
}

/**
 * Hammer-ons and pull-offs for a run: where two notes follow each other on one string, a few frets apart, the second off the
 * beat (or a flat third going into the third). Strings are kept as they were planned. Null where there is no such place.
 */
export function handSlurs(
  scene: Scene,
  notes: readonly DraftNote[],
  hand: HandPlan,
): readonly DraftNote[] | null {
  const kept = notes.map((note, i) => ({ ...note, string: itemAt(hand.fingerings, i).string }));
  const places: { index: number; worth: number; articulation: Articulation }[] = [];
  for (let i = 1; i < kept.length; i++) {
    const before = itemAt(kept, i - 1);
    const note = itemAt(kept, i);
    const from = itemAt(hand.fingerings, i - 1).fret;
    const to = itemAt(hand.fingerings, i).fret;
    const apart = Math.abs(to - from);
    if (!note.run || note.articulation !== 'struck' || before.string !== note.string) continue;
    // A choked string is let down before it sounds anything else.
    if (before.articulation === 'choke') continue;
    if (apart === 0 || apart > WIDEST_SLUR || before.tick + before.ticks < note.tick) continue;
    const weaker = strengthAt(scene.timeline, note.tick) < strengthAt(scene.timeline, before.tick);
    // Onto a stronger beat only from just before it: a note that stands by itself is struck.
    if (!weaker && note.tick - before.tick > 480) continue;
    const cost = (SLUR_COSTS[scene.setup.instrument] ?? 0) + (i === kept.length - 1 ? 1.5 : 0);
    const worth = (apart === 1 && to > from ? 1 : 0) + (weaker ? 2 : 0) - cost;
    places.push({ index: i, worth, articulation: slurFor(scene, from, to) });
  }
  places.sort((a, b) => b.worth - a.worth || a.index - b.index);
  const most = Math.max(1, Math.floor(kept.filter((note) => note.run).length * MOST_SLURRED));
  const chosen = new Map<number, Articulation>();
  for (const { index, worth, articulation } of places) {
    if (chosen.size >= most || worth < 1) break;
    if (chosen.has(index - 1) || chosen.has(index + 1)) continue;
    chosen.set(index, articulation);
  }
  if (chosen.size === 0) return null;
  return kept.map((note, i) => ({ ...note, articulation: chosen.get(i) ?? note.articulation }));
}

/** A bar slides; fingers hammer up and pull down. */
function slurFor(scene: Scene, from: number, to: number): Articulation {
  if (scene.setup.instrument === 'resonator guitar' && from > 0 && to > 0) return 'slide';
  return to > from ? 'hammer' : 'pull';
}
