import type { Articulation, InstrumentName, Stroke } from '../../instruments';
import type { FillNote } from '../../song';
import type { Sounded } from './playing';
import { type Attributes, element, textElement } from './xml';

/** Two notes that one stroke sounds: where their line begins, and where it ends. */
export interface Joints {
  readonly starts: ReadonlyMap<FillNote, Articulation>;
  readonly stops: ReadonlyMap<FillNote, Articulation>;
}

/** What joins a note to the one before it on its string. */
const JOINING: ReadonlySet<Articulation> = new Set(['hammer', 'pull', 'slide', 'slurred']);

/** Which notes are hammered, pulled, slid or slurred from which. A slurred note of the bow may come from another string. */
export function jointsOf(sounded: readonly Sounded[]): Joints {
  const starts = new Map<FillNote, Articulation>();
  const stops = new Map<FillNote, Articulation>();
  sounded.forEach(({ startTick, notes }, i) => {
    const before = sounded[i - 1];
    for (const note of notes) {
      if (!JOINING.has(note.articulation) || before === undefined || before.endTick < startTick) continue;
      const anyString = note.articulation === 'slurred';
      const from = before.notes.find(({ string }) => string === note.string || anyString);
      if (from === undefined) continue;
      starts.set(from, note.articulation);
      stops.set(note, note.articulation);
    }
  });
  return { starts, stops };
}

interface JointElement {
  readonly name: string;
  readonly technical: boolean;
  readonly attributes: Attributes;
  readonly text: string;
}

const JOINT_ELEMENTS: Partial<Readonly<Record<Articulation, JointElement>>> = {
  hammer: { name: 'hammer-on', technical: true, attributes: {}, text: 'H' },
  pull: { name: 'pull-off', technical: true, attributes: {}, text: 'P' },
  slide: { name: 'slide', technical: false, attributes: { 'line-type': 'solid' }, text: '' },
  slurred: { name: 'slur', technical: false, attributes: {}, text: '' },
};

/** Letters of the plucking hand, from Spanish: pulgar, índice, medio. Source: MusicXML 4.0, pluck. */
const PLUCKS: Partial<Readonly<Record<Stroke, string>>> = { thumb: 'p', index: 'i', middle: 'm' };

/** A semitone's half: a string that is pushed a little toward the next note. Common practice, no source. */
const CHOKE_SEMITONES = 0.5;

interface Signs {
  readonly technical: string[];
  readonly others: string[];
}

/**
 * What both hands do for a note, as children of `notations`: stroke or finger that strikes it (a pick's strokes by the signs of the bow),
 * finger, string and fret, what joins it to its neighbours. Source: MusicXML 4.0, technical.
 */
export function handSigns(
  note: FillNote,
  joints: Joints,
  instrument: InstrumentName | null,
  staff: 'notes' | 'tab',
): readonly string[] {
  const { technical, others }: Signs = { technical: [], others: [] };
  if (staff === 'notes' && note.stroke !== null) {
    const pluck = PLUCKS[note.stroke];
    technical.push(
      pluck === undefined
        ? element(note.stroke === 'down' ? 'down-bow' : 'up-bow', {})
        : textElement('pluck', pluck),
    );
  }
  if (note.finger > 0 && staff === 'notes') technical.push(textElement('fingering', note.finger));
  if (note.string > 0 && instrument !== 'voice')
    technical.push(textElement('string', note.string), textElement('fret', note.fret));
  if (note.articulation === 'choke')
    technical.push(element('bend', {}, textElement('bend-alter', CHOKE_SEMITONES)));
  for (const [type, articulation] of [
    ['stop', joints.stops.get(note)],
    ['start', joints.starts.get(note)],
  ] as const) {
    const joint = articulation && JOINT_ELEMENTS[articulation];
    if (joint === undefined) continue;
    const text = type === 'start' ? joint.text : '';
    const sign = textElement(joint.name, text, { type, number: 1, ...joint.attributes });
    (joint.technical ? technical : others).push(sign);
  }
  if (note.articulation === 'tremolo' && staff === 'notes')
    others.push(element('ornaments', {}, textElement('tremolo', 3, { type: 'single' })));
  return technical.length === 0 ? others : [element('technical', {}, ...technical), ...others];
}
