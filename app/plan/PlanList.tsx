'use client';

import type { ReactNode } from 'react';
import { type Arrangement, beatsInWords, cuesOf, passName, placeInWords } from '../../lib/parts';
import type { NextBest, Plan, PlanEntry } from '../../lib/plan';
import type { Player } from '../../lib/song';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';
import { whereItStands } from './where-it-stands';
import { decidedInWords } from './words';

interface ListProps {
  readonly plan: Plan;
  readonly next: ReadonlyMap<string, NextBest>;
  readonly arrangement: Arrangement;
  readonly players: readonly Player[];
  /** The entry whose turn it is, when going through them one by one. */
  readonly current: PlanEntry | null;
  /** Null: nothing can be written. */
  readonly take: ((entry: PlanEntry) => void) | null;
  /** The question that stands at a space. */
  readonly questionAt: (spaceId: string) => ReactNode;
  readonly passOver: (entry: PlanEntry) => void;
  readonly open: (spaceId: string) => void;
}

/** A plan pass by pass, each space as a written line. */
export function PlanList(props: ListProps) {
  const { plan, arrangement } = props;
  return arrangement.song.passes.map((pass) => {
    const entries = plan.entries.filter(({ space }) => space.place.passId === pass.id);
    if (entries.length === 0) return null;
    return (
      <div key={pass.id} className="mt-4">
        <h3 className="font-semibold">{passName(arrangement.song, pass)}</h3>
        <ul>
          {entries.map((entry) => (
            <EntryLine key={entry.space.id} entry={entry} {...props} />
          ))}
        </ul>
      </div>
    );
  });
}

function EntryLine({
  entry,
  next,
  arrangement,
  players,
  current,
  take,
  passOver,
  open,
  questionAt,
}: ListProps & { readonly entry: PlanEntry }) {
  const { space, settled } = entry;
  const holder = players.find(({ id }) => id === entry.holder) ?? null;
  const where = whereItStands(entry, arrangement);
  const isCurrent = current?.space.id === space.id;
  const place = placeInWords(space, cuesOf(arrangement, space).before);
  const who = holder
    ? `${holder.name}${entry.offer || space.kind === 'instrumental' || settled ? '' : ', ad lib'}`
    : 'left open';
  return (
    <li
      className="grid grid-cols-[2.75rem_1fr] gap-x-3 border-t border-faint py-1.5 first:border-t-0"
      aria-current={isCurrent ? 'step' : undefined}
      data-plan={space.id}
    >
      <span className="pt-2 text-lg">
        {holder ? <Initials initials={holder.initials} ink={holder.ink} name={holder.name} /> : <Breath />}
      </span>
      <div>
        <p className="pt-2">
          {isCurrent && <span className="sr-only">Next: </span>}
          {place}, {beatsInWords(space.beats)}: <span className="font-semibold">{who}</span>
          {entry.offer && <>, {entry.offer.title}</>}
        </p>
        <p className="aside">
          {whyOf(entry)}
          {nextInWords(next.get(space.id), players)}
        </p>
        {where !== 'undecided' ? (
          <p className="aside">{decidedInWords(where, holder?.name ?? '')}</p>
        ) : (
          <p className="flex flex-wrap gap-x-8">
            {take && (
              <Button
                {...(isCurrent ? { shortcut: 'd' } : {})}
                label={`Settle it: ${place}, ${who}`}
                onPress={() => take(entry)}
              >
                Settle it
              </Button>
            )}
            {take && isCurrent && (
              <Button shortcut="v" onPress={() => passOver(entry)}>
                Leave it for now
              </Button>
            )}
            <Button label={`Look at other ideas: ${place}`} onPress={() => open(space.id)}>
              Other ideas
            </Button>
          </p>
        )}
        {questionAt(space.id)}
      </div>
    </li>
  );
}

function Breath() {
  return (
    <span aria-hidden="true" className="text-2xl leading-none text-quiet">
      ,
    </span>
  );
}

/** The terms that weigh, as a sentence; what only informs is left out where something weighs. */
function whyOf({ reasons }: PlanEntry): string {
  const weighty = reasons.filter(({ rule, weight }) => weight !== 0 && rule !== 'fit');
  const told = (weighty.length > 0 ? weighty : reasons).slice(0, 3).map(({ detail }) => detail);
  const text = told.join('; ');
  return text === '' ? '' : `${text.charAt(0).toUpperCase()}${text.slice(1)}. `;
}

function nextInWords(next: NextBest | undefined, players: readonly Player[]): string {
  if (!next) return '';
  const who = players.find(({ id }) => id === next.holder)?.name ?? 'left open';
  if (next.more === 0) return `As good: ${who.replace(/\.$/, '')}.`;
  const points = `${next.more} ${next.more === 1 ? 'point' : 'points'}`;
  return `Next best: ${who}; the whole plan would be ${next.exact ? '' : 'at most '}${points} worse.`;
}
