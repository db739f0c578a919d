import { arrange } from '../parts';
import type { Player, Song } from '../song';
import { answersChanged, commentsMade, proposalsMade } from './answers';
import { headChanges } from './head';
import { musicChanges } from './music';
import { orderChanges } from './order';
import { type Change, same } from './types';

/** Fields of which nothing more is said than that they changed. */
const PLAINLY: Partial<Readonly<Record<keyof Song, string>>> = {
  phraseEnds: 'where phrases end was changed',
  singing: 'who sings what was changed',
  tempoRange: 'the tempo was tapped',
  voices: 'the voices were changed',
  votes: 'votes were given',
  sections: 'bars or sections were changed',
};

/**
 * What changed from one state of a song to another, the most telling first: what it is, how it runs, what was settled and by whom, what
 * was put to the band and said, words, tune and chords by section, how players are set up. Equal states say nothing; every change of the song says
 * at least one sentence.
 */
export function changesBetween(before: Song, now: Song, players: readonly Player[]): readonly Change[] {
  if (before === now) return [];
  const compared = { before, now, was: arrange(before), is: arrange(now), players };
  const told = [
    ...headChanges(compared),
    ...orderChanges(compared),
    ...answersChanged(compared),
    ...proposalsMade(compared),
    ...commentsMade(compared),
    ...musicChanges(compared),
  ];
  const plain = Object.entries(PLAINLY).flatMap(([field, sentence]): Change[] => {
    const isSame = same(Reflect.get(before, field), Reflect.get(now, field));
    const isTold = field === 'sections' && told.some(({ rule }) => rule === 'music');
    return isSame || isTold ? [] : [{ rule: 'other', by: null, sentence, place: null }];
  });
  const all = [...told, ...plain];
  if (all.length > 0 || same(before, now)) return all;
  return [{ rule: 'other', by: null, sentence: 'something was changed', place: null }];
}
