import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { pitchClassOf } from '../theory';
import type { Ticks } from '../time';
import type { Draft } from './candidate';
import { FEWEST_NOTES, REGISTERS } from './costs';
import { nearestPitch } from './held';
import { type Contour, type LineTask, searchLine } from './line';
import { landingChord, runNotes } from './rolls';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf, lineSeed } from './words';

/** A run is at most so many notes: two bars of quarters, one bar and a beat of eighths. */
const LONGEST_RUN = 10;
/** A bass run or a walk keeps to the lowest octave and a half of the instrument. */
const LOW_REGISTER = 17;

export interface RunKind {
  readonly family: string;
  readonly contour: Contour;
  readonly notes: LineTask['notes'];
  readonly name: string;
}

/** The ways a run may go. Common practice, no source. */
export const RUN_KINDS: readonly RunKind[] = [
  { family: 'run up', contour: 'up', notes: 'key', name: 'run up' },
  { family: 'run down', contour: 'down', notes: 'key', name: 'run down' },
  { family: 'run up', contour: 'down then up', notes: 'five', name: 'run down and up on five notes' },
  { family: 'run down', contour: 'up then down', notes: 'five', name: 'run up and down on five notes' },
];

/** Runs that go on from the note just sung and come to rest on what comes next, clear of the guard. */
export function runs(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  return RUN_KINDS.flatMap((kind) =>
    scene.steps.flatMap((step) => {
      const slots = slotsOf(scene, step, scene.startTick, scene.guardEnd);
      const landing = landingIndex(slots);
      const used = fromABeat(slots.slice(0, landing + 1), LONGEST_RUN);
      const draft = used.length >= FEWEST_NOTES ? runDraft(scene, strings, kind, used) : null;
      return draft ? [draft] : [];
    }),
  );
}

/** The last places of a stretch, at most so many, from a beat on where that can be. */
function fromABeat(slots: readonly Slot[], most: number): readonly Slot[] {
  const first = Math.max(0, slots.length - most);
  for (let i = first; i <= first + 2 && i < slots.length - FEWEST_NOTES; i++)
    if (itemAt(slots, i).strength >= 2) return slots.slice(i);
  return slots.slice(first);
}

function runDraft(
  scene: Scene,
  strings: readonly OpenString[],
  kind: RunKind,
  slots: readonly Slot[],
): Draft | null {
  const { lowest, highest, middle } = rangeFor(scene, strings);
  const line = searchLine({
    slots,
    lowest,
    highest,
    middle,
    from: scene.sungBefore === null ? null : nearestPitch(pitchClassOf(scene.sungBefore), middle),
    startsOnBass: false,
    contour: kind.contour,
    notes: kind.notes,
    scale: scene.scale,
    sungNext: scene.sungNext === null ? null : pitchClassOf(scene.sungNext),
    leadsTo: null,
    seed: lineSeed(scene, kind.name),
  });
  if (!line) return null;
  const landing = landingChord(lastOf(slots), lastOf(line.pitches));
  return {
    family: kind.family,
    title: `a ${kind.name}, into ${chordNameOf(landing)}`.replace(/(up|down), into/, '$1 into'),
    notes: runNotes(scene, slots, line.pitches, scene.guardEnd),
    strings: [],
    throughGuard: false,
    leads: false,
    slurs: scene.setup.instrument === 'fiddle' ? 'bow' : 'left hand',
  };
}

/** Lines go so many frets up the first string at most. */
const ABOVE_OPEN = 7;

/** Where a player's lines lie, with the capo on. */
export function rangeFor(
  scene: Scene,
  strings: readonly OpenString[],
): { readonly lowest: number; readonly highest: number; readonly middle: number } {
  const register = REGISTERS[scene.setup.instrument];
  const open = long(scene, strings).map((each) => each.midi);
  return {
    lowest: Math.min(...open),
    highest: Math.min(register.highest + scene.setup.capo, Math.max(...open) + ABOVE_OPEN),
    middle: register.middle + scene.setup.capo,
  };
}

/** All strings but a banjo's short one. */
export function long(scene: Scene, strings: readonly OpenString[]): readonly OpenString[] {
  return scene.setup.instrument === 'banjo' ? strings.filter((each) => each.string !== 5) : strings;
}

/** A low line from the bass note into the next chord's: through the guard, under the singer's pickup. */
export function lowRuns(
  scene: Scene,
  strings: readonly OpenString[],
  family: string,
  contours: readonly Contour[],
  steps: readonly Ticks[],
): readonly Draft[] {
  const lowest = Math.min(...strings.map((each) => each.midi));
  return steps.flatMap((step) =>
    contours.flatMap((contour) => {
      const slots = fromABeat(slotsOf(scene, step, scene.startTick, scene.endTick), 8);
      if (slots.length < FEWEST_NOTES) return [];
      const line = searchLine({
        slots,
        lowest,
        highest: lowest + LOW_REGISTER,
        middle: lowest + 8,
        from: null,
        startsOnBass: true,
        contour,
        notes: 'key',
        scale: scene.scale,
        sungNext: null,
        leadsTo: scene.next,
        seed: lineSeed(scene, `${family} ${contour} ${step}`),
      });
      if (!line) return [];
      const first = itemAt(line.pitches, 0);
      const last = lastOf(line.pitches);
      const way = last === first ? '' : last > first ? ' up' : ' down';
      const pace = step === 960 ? ' in quarters' : '';
      return [
        {
          family,
          title: `a ${family}${way}${pace} to ${chordNameOf(scene.next.chord)}`,
          notes: runNotes(scene, slots, line.pitches, scene.endTick).map((note, i) =>
            i === slots.length - 1 ? { ...note, ticks: itemAt(slots, i).ticks } : note,
          ),
          strings: [],
          throughGuard: true,
          leads: true,
          slurs:
            step <= 480 && scene.setup.instrument === 'guitar' ? ('left hand' as const) : ('none' as const),
        },
      ];
    }),
  );
}

/**
 * A tag lick by rule, from its landing back: the chord's flat third into its third, fifth, sixth, root; over a
 * minor chord second, third, fifth, flat seventh, root. In semitones above the lower root. Common practice, no source.
 */
const TAG_STEPS = { major: [3, 4, 7, 9, 12], minor: [2, 3, 7, 10, 12], none: [5, 7, 9, 10, 12] } as const;
/** The same, going down to the lower root. */
const TAG_STEPS_DOWN = {
  major: [12, 9, 7, 3, 4, 0],
  minor: [12, 10, 7, 5, 3, 0],
  none: [12, 10, 7, 5, 7, 0],
} as const;

/** Tag licks: runs that close, up and down, in each octave that the instrument has for them. */
export function tagLicks(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const open = long(scene, strings).map((each) => each.midi);
  const lowest = Math.min(...open);
  const highest = Math.max(...open) + 7;
  const step = itemAt(scene.steps, 0);
  const slots = slotsOf(scene, step, scene.startTick, scene.guardEnd);
  const landing = landingIndex(slots);
  const last = slots[landing];
  if (!last) return [];
  const chord = last.harmony.chord;
  const drafts: Draft[] = [];
  for (const [way, steps] of [
    ['up', TAG_STEPS[chord.third]],
    ['down', TAG_STEPS_DOWN[chord.third]],
  ] as const) {
    const used = slots.slice(landing + 1 - steps.length, landing + 1);
    if (used.length < steps.length || landing + 1 < steps.length) continue;
    if (used.some((slot) => slot.harmony.chord.root !== chord.root)) continue;
    for (let root = lowest + pitchClassOf(chord.root - lowest); root + 12 <= highest; root += 12) {
      drafts.push({
        family: 'tag lick',
        title: `a tag lick ${way} to ${root <= lowest + 7 ? 'the low' : 'the high'} ${chordNameOf(chord)}`,
        notes: runNotes(
          scene,
          used,
          steps.map((above) => root + above),
          scene.guardEnd,
        ),
        strings: [],
        throughGuard: false,
        leads: false,
        slurs: scene.setup.instrument === 'fiddle' ? 'bow' : 'left hand',
      });
    }
  }
  return drafts;
}
