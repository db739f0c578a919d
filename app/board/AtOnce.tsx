import { memo } from 'react';
import type { Arrangement } from '../../lib/parts';
import { type Answer, type Player, samePlace } from '../../lib/song';
import { Button } from '../ui/Button';

interface Shown {
  readonly atOnce: readonly Answer[];
  readonly players: readonly Player[];
}

/** In a space's detail: answers that were settled at the same time as the one that stands, each to be taken or let go. */
export function AtOnce({
  atOnce,
  players,
  standing,
  take,
  letGo,
}: Shown & {
  /** The answer that stands; null: nothing is settled. */
  readonly standing: Answer | null;
  /** Each asks whose word it is; null: nothing can be written. */
  readonly take: ((answer: Answer) => void) | null;
  readonly letGo: ((answer: Answer) => void) | null;
}) {
  if (standing === null) return null;
  const here = atOnce.filter((answer) => samePlace(answer.place, standing.place));
  return here.map((answer, i) => {
    const who = nameOf(players, answer.by) ?? 'Somebody';
    return (
      <div key={answer.id} className="my-2 border-l-[3px] border-accent pl-3">
        <p>
          {who} settled another answer here without having seen this one: {answerInWords(answer, players)}.
          The later of the two stands, until the band says otherwise.
        </p>
        {take && letGo && (
          <p className="flex flex-wrap gap-x-8">
            <Button
              {...(i === 0 ? { shortcut: 't' } : {})}
              onPress={() => take(answer)}
              label={`Take that one: ${answerInWords(answer, players)}`}
            >
              Take that one
            </Button>
            <Button
              {...(i === 0 ? { shortcut: 'n' } : {})}
              onPress={() => letGo(answer)}
              label={`Stay with the one that stands, not with ${answerInWords(answer, players)}`}
            >
              Stay with the one that stands
            </Button>
          </p>
        )}
      </div>
    );
  });
}

/** In a board's head: that spaces have two answers, and the way to the first of them. */
export const AtOnceNote = memo(function AtOnceNote({
  atOnce,
  players,
  arrangement,
  open,
}: Shown & {
  readonly arrangement: Arrangement;
  readonly open: (spaceId: string) => void;
}) {
  const twice = [...arrangement.bySpace].filter(([, { answer }]) =>
    atOnce.some((other) => samePlace(other.place, answer.place)),
  );
  const first = twice[0];
  if (!first) return null;
  const [spaceId, { answer }] = first;
  const other = atOnce.find((one) => samePlace(one.place, answer.place));
  const names = new Set(
    [answer, ...(other ? [other] : [])].map(({ by }) => nameOf(players, by) ?? 'somebody'),
  );
  const who = names.size > 1 ? [...names].join(' and ') : `${[...names].join()}, on two devices,`;
  return (
    <div className="no-print my-2 border-l-[3px] border-accent pl-3 flex flex-wrap items-center gap-x-6">
      <p role="status">
        {twice.length === 1
          ? `${who} settled one space without having seen each other’s answer: both are kept, the later one stands.`
          : `${twice.length} spaces were settled twice, without either having seen the other’s answer: both are kept, the later ones stand.`}
      </p>
      <Button shortcut="e" onPress={() => open(spaceId)}>
        {twice.length === 1 ? 'See both' : 'See the first'}
      </Button>
    </div>
  );
});

function answerInWords({ holding }: Answer, players: readonly Player[]): string {
  if (holding.kind === 'left open') return 'left open';
  const name = nameOf(players, holding.playerId) ?? 'somebody who has left';
  if (holding.kind === 'ad lib') return `${name}, ad lib`;
  const { length } = holding.fill.notes;
  return `${name}, a fill of ${length} ${length === 1 ? 'note' : 'notes'}`;
}

const nameOf = (players: readonly Player[], id: string | null): string | null =>
  players.find((player) => player.id === id)?.name ?? null;
