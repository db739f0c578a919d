import { earliestOf, fillNotesAt } from '../fills';
import { openStrings } from '../instruments';
import type { Answer, FillNote, Song, Timeline } from '../song';
import { type Space, spaceAt, tickOfPlace } from '../spaces';
import type { Ticks } from '../time';

/** What the band settled for a space, where it stands in time. */
export interface Standing {
  readonly answer: Answer;
  /** The space that it answers; null where there is none any more: it is kept, and shown as no longer fitting. */
  readonly space: Space | null;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Of a fill, with ticks from the timeline's start. */
  readonly notes: readonly FillNote[];
  /** Why it no longer fits what it was made for, as a clause; null: it does. It is kept all the same. */
  readonly misfit: string | null;
  /** The same as a kind. */
  readonly misfitRule: MisfitRule | null;
}

/** Ways in which what was settled no longer fits, and what people are told of each. */
export const MISFITS = {
  'space gone': 'its space is gone',
  'space shrank': 'its space is shorter now',
  'another setup': 'made for another capo, tuning or instrument',
  'chord changed': 'made over other chords',
} as const;
export type MisfitRule = keyof typeof MISFITS;

/** What stands, in the order settled, and the answers whose place is no longer in the song. */
export function standingsIn(
  settled: readonly Answer[],
  timeline: Timeline,
  spaces: readonly Space[],
): { readonly standings: readonly Standing[]; readonly homeless: readonly Answer[] } {
  const standings: Standing[] = [];
  const homeless: Answer[] = [];
  for (const answer of settled) {
    const origin = tickOfPlace(timeline, answer.place);
    if (origin === null) homeless.push(answer);
    else standings.push(standingOf(answer, origin, spaceAt(spaces, answer.place, timeline), timeline));
  }
  return { standings, homeless };
}

function standingOf(answer: Answer, origin: Ticks, space: Space | null, timeline: Timeline): Standing {
  const { holding, extent } = answer;
  const notes = holding.kind === 'fill' ? fillNotesAt(holding.fill, origin) : [];
  const misfitRule = misfitOf(answer, notes, origin, space, timeline);
  return {
    answer,
    space,
    startTick: origin + extent.from,
    endTick: origin + extent.to,
    notes,
    misfit: misfitRule && MISFITS[misfitRule],
    misfitRule,
  };
}

function misfitOf(
  { holding }: Answer,
  notes: readonly FillNote[],
  origin: Ticks,
  space: Space | null,
  timeline: Timeline,
): MisfitRule | null {
  if (space === null) return 'space gone';
  if (holding.kind !== 'fill') return null;
  const last = notes[notes.length - 1];
  const first = notes[0];
  if (first && last && (first.tick < earliestOf(space, timeline) || last.tick + last.ticks > space.endTick))
    return 'space shrank';
  if (!standsOnSetup(notes, timeline.song, holding.playerId)) return 'another setup';
  const chords = holding.fill.chords;
  const isSame = chords.every(({ tick, symbol }) => timeline.chordAt(origin + tick)?.symbol === symbol);
  return isSame ? null : 'chord changed';
}

/** Whether each note still sounds as written where it is written; true where the song does not say how they play. */
function standsOnSetup(notes: readonly FillNote[], song: Song, playerId: string): boolean {
  const setup = song.settings.find((setting) => setting.playerId === playerId);
  if (!setup) return true;
  const strings = openStrings(setup);
  if (!strings.ok) return false;
  const open = new Map(strings.value.map((string) => [string.string, string.midi]));
  return notes.every((note) => open.get(note.string) === note.midi - note.fret);
}
