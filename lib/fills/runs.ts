import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { pitchClassOf } from '../theory';
import type { Draft } from './candidate';
import { choked, chokedLine, choosesChokes } from './chokes';
import { FEWEST_NOTES, REGISTERS } from './costs';
import { nearestPitch } from './held';
import { type Contour, FIVE_MAJOR, FIVE_MINOR, type Line, type LineTask, searchLine } from './line';
import { BANJO_ABOVE_OPEN, closesOn, landingChord, runNotes } from './line-notes';
import { holding, landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { type Course, courseOf, type Sounded, titleOf } from './titles';
import { chordNameOf, landingName, lineSeed } from './words';

/** A run is at most so many notes: two bars of quarters, one bar and a beat of eighths. */
const LONGEST_RUN = 10;
export interface RunKind {
  readonly family: string;
  readonly contour: Contour;
  readonly notes: LineTask['notes'];
  readonly name: string;
  /** True: through flat thirds that are choked, by those who choke. */
  readonly chokes?: boolean;
}

/** The ways a run may go. Common practice, no source. */
export const RUN_KINDS: readonly RunKind[] = [
  { family: 'run up', contour: 'up', notes: 'key', name: 'run up' },
  { family: 'run down', contour: 'down', notes: 'key', name: 'run down' },
  { family: 'run up', contour: 'down then up', notes: 'five', name: 'run down and up' },
  { family: 'run down', contour: 'up then down', notes: 'five', name: 'run up and down' },
  { family: 'run down', contour: 'down', notes: 'five', name: 'run down', chokes: true },
];

/** Runs that go on from the note just sung and come to rest on what comes next, clear of the guard. */
export function runs(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const kinds = RUN_KINDS.filter((kind) => !kind.chokes || choosesChokes(scene));
  return kinds.flatMap((kind) =>
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
  const wanted = {
    contour: kind.contour,
    notes: kind.notes,
    chokes: kind.chokes ?? false,
    seed: lineSeed(scene, `${kind.name} ${kind.notes}`),
  };
  const goesAsAsked = (found: Line | null) => {
    const way = found && courseOf(found.pitches);
    return way !== null && FAMILY_OF[way] === kind.family;
  };
  const freely = tuneOver(scene, strings, slots, wanted);
  // A line that has no room for the way that is asked of it begins elsewhere, and keeps to its way.
  const strictly = goesAsAsked(freely)
    ? null
    : tuneOver(scene, strings, slots, { ...wanted, strictly: true });
  const line = goesAsAsked(strictly) ? strictly : freely;
  if (!line) return null;
  const course = courseOf(line.pitches);
  if (course === null) return null;
  const plain = runNotes(scene, slots, line.pitches, scene.guardEnd);
  const notes = kind.chokes ? chokedLine(scene, strings, plain) : plain;
  if (!notes) return null;
  return {
    family: FAMILY_OF[course],
    title: (sounded) => runTitle(slots, sounded),
    notes,
    strings: [],
    throughGuard: false,
    leads: false,
    slurs: scene.setup.instrument === 'fiddle' ? 'bow' : 'left hand',
  };
}

/** Where a run belongs, by how it goes in the end: a line may have no room for the way that was asked of it. */
const FAMILY_OF: Readonly<Record<Course, string>> = {
  up: 'run up',
  'down and up': 'run up',
  down: 'run down',
  'up and down': 'run down',
};

function runTitle(slots: readonly Slot[], sounded: readonly Sounded[]): string {
  const pitches = sounded.map((note) => note.midi);
  const into = landingName(landingChord(lastOf(slots), lastOf(pitches)), lastOf(pitches));
  const five = onFive(slots, pitches) ? ' on five notes' : '';
  const choke = sounded.some((note) => note.articulation === 'choke') ? ', with a choke' : '';
  return `a run ${courseOf(pitches)}${five} into ${into}${choke}`;
}

/** Whether a line over one chord has the five notes of its pentatonic scale, all of them and no others. */
function onFive(slots: readonly Slot[], pitches: readonly number[]): boolean {
  const { chord } = itemAt(slots, 0).harmony;
  if (slots.some((slot) => slot.harmony.chord.root !== chord.root)) return false;
  const five = chord.third === 'minor' ? FIVE_MINOR : FIVE_MAJOR;
  const played = new Set(pitches.map((midi) => pitchClassOf(midi - chord.root)));
  return played.size === five.length && five.every((above) => played.has(above));
}

/** A line in a player's own range that goes on from the note just sung, in any octave, and comes to rest on what is sung next (`searchLine`). */
export function tuneOver(
  scene: Scene,
  strings: readonly OpenString[],
  slots: readonly Slot[],
  wanted: Pick<LineTask, 'contour' | 'notes' | 'seed' | 'chokes' | 'strictly'>,
): Line | null {
  const { lowest, highest, middle } = rangeFor(scene, strings);
  // From root to root there is no run of three notes.
  const bass = scene.setup.instrument === 'bass' && slots.length > FEWEST_NOTES;
  return searchLine({
    ...wanted,
    slots,
    lowest,
    highest,
    middle,
    // A bass goes on from the chord, not from the singer.
    from:
      scene.sungBefore === null || wanted.strictly || scene.setup.instrument === 'bass'
        ? null
        : nearestPitch(pitchClassOf(scene.sungBefore), middle),
    startsOnBass: bass,
    bass,
    scale: scene.scale,
    sungNext: scene.sungNext === null ? null : pitchClassOf(scene.sungNext),
    leadsTo: null,
    ...closesOn(scene),
  });
}

/** Lines go so many frets up the first string at most; where they are to lie higher, so many. */
const ABOVE_OPEN = 7;
const FURTHEST_UP = 12;

/** Where a player's lines lie, with the capo on. */
export function rangeFor(
  scene: Scene,
  strings: readonly OpenString[],
): { readonly lowest: number; readonly highest: number; readonly middle: number } {
  const register = REGISTERS[scene.setup.instrument];
  const open = long(scene, strings).map((each) => each.midi);
  const { lift } = scene.wish;
  const highest = Math.min(register.highest + scene.setup.capo, Math.max(...open) + aboveOpen(scene));
  return {
    lowest: Math.min(...open) + Math.max(0, lift),
    highest: Math.min(highest + lift, Math.max(...open) + FURTHEST_UP),
    middle: register.middle + scene.setup.capo + lift,
  };
}

const aboveOpen = (scene: Scene) => (scene.setup.instrument === 'banjo' ? BANJO_ABOVE_OPEN : ABOVE_OPEN);

/** All strings but a banjo's short one. */
export function long(scene: Scene, strings: readonly OpenString[]): readonly OpenString[] {
  return scene.setup.instrument === 'banjo' ? strings.filter((each) => each.string !== 5) : strings;
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

/** 'the low ', 'the middle ', 'the high ': which of the instrument's octaves of it a note is; '' where there is but one. */
function registerOf(midi: number, lowest: number, highest: number): string {
  const below = Math.floor((midi - lowest) / 12);
  const above = Math.floor((highest - midi) / 12);
  if (below === 0 && above === 0) return '';
  return below === 0 ? 'the low ' : above === 0 ? 'the high ' : 'the middle ';
}

/** Tag licks: runs that close, up and down, in each octave that the instrument has for them. */
export function tagLicks(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const open = long(scene, strings).map((each) => each.midi);
  const lowest = Math.min(...open);
  const highest = Math.max(...open) + aboveOpen(scene);
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
        title: `a tag lick ${way} to ${registerOf(root + lastOf(steps), lowest, highest)}${chordNameOf(chord)}`,
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
  return [...drafts, ...chokedTags(scene, strings, drafts)];
}

/** The same down, through a flat third that is choked: the second but one of its notes. */
const TAG_STEPS_CHOKED = [12, 9, 7, 3, 0] as const;
const CHOKED = 3;

/** A tag lick down with its flat third choked, in each octave in which a thin string has that note. */
function chokedTags(scene: Scene, strings: readonly OpenString[], plain: readonly Draft[]): readonly Draft[] {
  if (!choosesChokes(scene)) return [];
  return plain.flatMap((draft) => {
    const root = lastOf(draft.notes).midi;
    const { third } = holding(scene, lastOf(draft.notes).tick).chord;
    const isDown = draft.notes.length === TAG_STEPS_DOWN.major.length;
    if (!isDown || third !== 'major') return [];
    const notes = draft.notes.slice(-TAG_STEPS_CHOKED.length).map((note, i) => {
      const moved = { ...note, midi: root + itemAt(TAG_STEPS_CHOKED, i) };
      return i === CHOKED ? choked(strings, moved) : moved;
    });
    const had = notes.flatMap((note) => note ?? []);
    return had.length === notes.length
      ? [{ ...draft, title: `${titleOf(draft.title, draft.notes)}, with a choke`, notes: had }]
      : [];
  });
}
