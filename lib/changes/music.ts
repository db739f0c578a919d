import type { Section, Song, SungNote } from '../song';
import { type Change, type Compared, plainly } from './types';

/** What stands in one bar, by what it is. */
interface InBar {
  readonly chords: string;
  readonly tune: string;
  readonly words: string;
}

/** Words, tune and chords, told by the section in whose bars they changed; and bars that came or went. */
export function musicChanges({ before, now }: Compared): readonly Change[] {
  const was = barsOf(before);
  const is = barsOf(now);
  return now.sections.flatMap((section): Change[] => {
    const old = before.sections.find(({ id }) => id === section.id);
    const place = startOf(now, section);
    const say = (sentence: string): Change => ({ rule: 'music', by: null, sentence, place });
    if (!old) return [say(`${section.name} is new`)];
    const kept = section.bars.filter(({ id }) => old.bars.some((bar) => bar.id === id));
    const count = (of: keyof InBar) => kept.filter(({ id }) => was.get(id)?.[of] !== is.get(id)?.[of]).length;
    const [words, tune, chords] = [count('words'), count('tune'), count('chords')];
    const more = section.bars.length - old.bars.length;
    return [
      ...(section.name === old.name ? [] : [say(`${old.name} is called ${section.name}`)]),
      ...(more > 0 ? [say(`${bars(more)} more in ${section.name}`)] : []),
      ...(more < 0 ? [say(`${bars(-more)} fewer in ${section.name}`)] : []),
      ...(words > 0 ? [say(`words changed in ${bars(words)} of ${section.name}`)] : []),
      ...(tune > 0 ? [say(`the tune changed in ${bars(tune)} of ${section.name}`)] : []),
      ...(chords > 0 ? [say(`chords changed in ${bars(chords)} of ${section.name}`)] : []),
    ];
  });
}

const bars = (count: number): string => (count === 1 ? 'one bar' : `${count} bars`);

function startOf({ passes }: Song, section: Section): Change['place'] {
  const pass = passes.find(({ sectionId }) => sectionId === section.id);
  return pass ? { passId: pass.id, noteId: null, voiceId: null } : null;
}

function barsOf({ notes, chords }: Song): ReadonlyMap<string, InBar> {
  const bars = new Map<string, { chords: string[]; tune: string[]; words: string[] }>();
  const inBar = (id: string) => {
    const bar = bars.get(id) ?? { chords: [], tune: [], words: [] };
    bars.set(id, bar);
    return bar;
  };
  for (const { barId, offset, symbol } of chords) inBar(barId).chords.push(`${offset} ${symbol}`);
  for (const note of notes) {
    const { syllables, ...sung }: SungNote = note;
    const bar = inBar(note.barId);
    bar.tune.push(plainly(sung));
    bar.words.push(plainly([note.id, syllables]));
  }
  return new Map(
    [...bars].map(([id, bar]) => [
      id,
      {
        chords: bar.chords.sort().join(),
        tune: bar.tune.sort().join(),
        words: bar.words.sort().join(),
      },
    ]),
  );
}
