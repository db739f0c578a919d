import type { Note } from './cases';

/*
 * What a title says of its notes, heard as one line of pitches. Common practice, no source: a run up ends above where it begins, an octave
 * is twelve half steps, a fifth six to eight of them (diminished, perfect, augmented), sixteenths are a quarter of a beat.
 */

type Heard = Pick<Note, 'tick' | 'midi' | 'string' | 'articulation'>;

const LETTERS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
/** Half steps above the root that go by each name. */
const DEGREES: Readonly<Record<string, readonly number[]>> = {
  root: [0],
  second: [2],
  third: [3, 4],
  fourth: [5],
  fifth: [6, 7, 8],
  sixth: [9],
  seventh: [9, 10, 11],
};
const COURSE = 'up and down|down and up|up|down';

/** Everything that a title says and its notes do not do; empty where it is true. */
export function titleFaults(title: string, notes: readonly Heard[], instrument: string): readonly string[] {
  const said = title.split('; now ')[0] ?? title;
  // Somebody's own words, sung or written.
  if (said.startsWith('“')) return [];
  return [
    ...courseFaults(said, notes, instrument),
    ...landingFaults(said, notes),
    ...figureFaults(said, notes),
    ...countFaults(said, notes),
  ];
}

function courseFaults(said: string, notes: readonly Heard[], instrument: string): readonly string[] {
  const whole = new RegExp(`^an? (?:bass run|run|walk|line|tag lick) (${COURSE})\\b`).exec(said)?.[1];
  const ending = new RegExp(`then a run (${COURSE})\\b`).exec(said)?.[1];
  if (whole !== undefined) {
    const drone = said.includes('with the drone between') && instrument === 'banjo';
    const line = notes.filter((note) => !(drone && note.string === 5)).map((note) => note.midi);
    return goes(line, whole) ? [] : [`'${whole}', but it goes ${line.join(' ')}`];
  }
  if (ending !== undefined) {
    // A run at the end of a roll is four or five notes long.
    const last = [4, 5].map((count) => notes.slice(-count).map((note) => note.midi));
    return last.some((line) => goes(line, ending)) ? [] : [`'${ending}', but it ends ${last[1]?.join(' ')}`];
  }
  return [];
}

function goes(line: readonly number[], course: string): boolean {
  const first = line[0] ?? 0;
  const last = line.at(-1) ?? 0;
  const steps = line.slice(1).map((midi, i) => midi - (line[i] ?? midi));
  const ups = steps.filter((step) => step > 0).length;
  const downs = steps.filter((step) => step < 0).length;
  switch (course) {
    case 'up':
      return last > first && ups > downs;
    case 'down':
      return last < first && downs > ups;
    case 'up and down':
      return Math.max(...line) > Math.max(first, last);
    default:
      return Math.min(...line) < Math.min(first, last);
  }
}

/** 'into D', 'into the third of Am7', '… to the low G': the last note. */
function landingFaults(said: string, notes: readonly Heard[]): readonly string[] {
  const named =
    / into (?:the (\w+) of )?([A-G])([#b]?)\S*?(?:, with a choke)?$/.exec(said) ??
    /^a tag lick .*? to (?:the (?:low|middle|high) )?()([A-G])([#b]?)\S*?(?:, with a choke)?$/.exec(said);
  const last = notes.at(-1);
  if (!named || !last || said.startsWith('a slide into')) return [];
  const [, degree, letter = '', sign = ''] = named;
  const root = (LETTERS[letter] ?? 0) + (sign === '#' ? 1 : sign === 'b' ? -1 : 0);
  const above = (last.midi - root + 24) % 12;
  return (DEGREES[degree || 'root'] ?? []).includes(above)
    ? []
    : [`ends ${above} half steps above ${letter}${sign}, not on its ${degree || 'root'}`];
}

function figureFaults(said: string, notes: readonly Heard[]): readonly string[] {
  const has = (kind: string) => notes.some((note) => note.articulation === kind);
  const apart = (least: number, most: number) =>
    notes.some((low) => notes.some((high) => high.midi - low.midi >= least && high.midi - low.midi <= most));
  const faults: string[] = [];
  const claim = (words: RegExp, isTrue: boolean) => {
    if (words.test(said) && !isTrue) faults.push(`'${words.source}' without it`);
  };
  claim(/octave/, apart(12, 12));
  claim(/fifth above/, apart(6, 8));
  claim(/fifth below/, apart(4, 6));
  claim(/choke/, has('choke'));
  claim(/^a slide into/, has('slide'));
  claim(/pinch/, has('pinch'));
  claim(/tremolo/, has('tremolo'));
  if (has('choke') && !said.includes('choke')) faults.push('a choke that is not told');
  return faults;
}

const NUMBERS: Readonly<Record<string, number>> = { three: 3, four: 4 };

function countFaults(said: string, notes: readonly Heard[]): readonly string[] {
  const onsets = [...new Set(notes.map((note) => note.tick))];
  const gaps = onsets.slice(1).map((tick, i) => tick - (onsets[i] ?? tick));
  const faults: string[] = [];
  if (said.includes('in quarters') && gaps.some((ticks) => ticks !== 960))
    faults.push(`quarters of ${gaps.join(' ')} ticks`);
  if (said.includes('in sixteenths') && !gaps.includes(240)) faults.push('no sixteenths');
  if (said.includes('on five notes') && new Set(notes.map((note) => note.midi % 12)).size !== 5)
    faults.push('not five notes');
  const count = NUMBERS[/ of (three|four) notes/.exec(said)?.[1] ?? ''];
  if (count !== undefined && notes.length !== count) faults.push(`${notes.length} notes, not ${count}`);
  return faults;
}
