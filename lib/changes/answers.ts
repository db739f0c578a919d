import { holdingInWords, whereInWords } from '../parts';
import { type Answer, type Player, samePlace } from '../song';
import { type Change, type Compared, same } from './types';

const nameOf = (players: readonly Player[], id: string | null): string | null =>
  players.find((player) => player.id === id)?.name ?? null;

const settling = (answer: Answer, players: readonly Player[]): string => {
  const who = nameOf(players, answer.by);
  const what = holdingInWords(answer.holding, players);
  if (answer.holding.kind === 'left open') return who === null ? 'left open' : `${who} left it open`;
  return who === null ? `settled: ${what}` : `${who} settled ${what}`;
};

/** What was settled, settled otherwise, or taken back. */
export function answersChanged({ before, now, was, is, players }: Compared): readonly Change[] {
  const changes: Change[] = [];
  for (const answer of now.settled) {
    const old = before.settled.find(({ place }) => samePlace(place, answer.place));
    if (old && same(old.holding, answer.holding)) continue;
    const before_ = old ? ` (was ${holdingInWords(old.holding, players)})` : '';
    const sentence = `${settling(answer, players)} in ${whereInWords(is, answer.place)}${before_}`;
    changes.push({ rule: 'answers', by: answer.by, sentence, place: answer.place });
  }
  for (const old of before.settled) {
    if (now.settled.some(({ place }) => samePlace(place, old.place))) continue;
    const sentence = `taken back in ${whereInWords(was, old.place)}: ${holdingInWords(old.holding, players)}`;
    changes.push({ rule: 'answers', by: null, sentence, place: old.place });
  }
  return changes;
}

/** What was put to the band, and what of it is gone without having been settled. */
export function proposalsMade({ before, now, is, players }: Compared): readonly Change[] {
  const made = now.proposals.filter(({ id }) => !before.proposals.some((old) => old.id === id));
  const gone = before.proposals.filter(
    ({ id, place, holding }) =>
      !now.proposals.some((one) => one.id === id) &&
      !now.settled.some((answer) => samePlace(answer.place, place) && same(answer.holding, holding)),
  );
  return [
    ...made.map((answer): Change => {
      const who = nameOf(players, answer.by) ?? 'somebody';
      const sentence = `${who} put to the band: ${holdingInWords(answer.holding, players)}, in ${whereInWords(is, answer.place)}`;
      return { rule: 'said', by: answer.by, sentence, place: answer.place };
    }),
    ...(gone.length > 0
      ? [
          {
            rule: 'said',
            by: null,
            sentence: `no longer put to the band: ${gone.map(({ holding }) => holdingInWords(holding, players)).join('; ')}`,
            place: null,
          } satisfies Change,
        ]
      : []),
  ];
}

/** What was said of a space, a line, a pass, or of the song. */
export function commentsMade({ before, now, is, players }: Compared): readonly Change[] {
  const made = now.comments.filter(({ id }) => !before.comments.some((old) => old.id === id));
  const gone = before.comments.filter(({ id }) => !now.comments.some((one) => one.id === id));
  return [
    ...made.map(({ by, text, place }): Change => {
      const where = place === null ? '' : `, of ${whereInWords(is, place)}`;
      return { rule: 'said', by, sentence: `${nameOf(players, by) ?? 'Somebody'}${where}: “${text}”`, place };
    }),
    ...gone.map(({ by, text }): Change => {
      const who = nameOf(players, by) ?? 'Somebody';
      return { rule: 'said', by: null, sentence: `${who} took back: “${text}”`, place: null };
    }),
  ];
}
