'use client';

import { memo, startTransition, useEffect, useState } from 'react';
import type { Result } from '../../lib/base';
import { asksForCare, type Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import type { Arrangement } from '../../lib/parts';
import type { Player } from '../../lib/song';
import { Button } from '../ui/Button';
import { ProblemNotice, sentence } from '../ui/Notice';
import type { Standing } from '../workers/offers';
import { Care } from './Care';
import { IdeaTab, isLong } from './IdeaTab';
import { IdeaTurns } from './IdeaTurns';
import type { Seated } from './useOffers';
import type { Turns } from './useTurns';

interface IdeasProps {
  /** Null: nobody is free. */
  readonly chosen: Player | null;
  /** Null: being worked out. */
  readonly offers: Result<readonly Offer[]> | null;
  readonly turns: Turns;
  /** How many of them are shown. */
  readonly count: number;
  /** Which of them is being changed; null: none. */
  readonly openAt: number | null;
  readonly open: (at: number | null) => void;
  readonly mayEdit: boolean;
  /** Null: nobody to work for. */
  readonly seated: Seated | null;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  /** From a chord as sounded to the shape that the player plays. */
  readonly chordName: (symbol: string) => string;
  readonly settle: (fill: Standing) => void;
  /** Puts an idea forward, for the band to say; null: nothing can be written now. */
  readonly propose: ((fill: Standing) => void) | null;
  /** While it is asked whose word it is: the key of putting is the question's. */
  readonly isAsked: boolean;
  /** Keeps a fill as a figure of one's own; null: it is another's idea. */
  readonly keepFigure: ((fill: Standing, name: string) => Promise<Result<string>>) | null;
}

/** Ideas one under another, each in tablature or notation with a sentence of reasons, each settled by one key. */
export function Ideas({ chosen, offers, turns, count, openAt, open, ...rest }: IdeasProps) {
  const drawn = useOneByOne(offers?.ok ? Math.min(count, turns.ideas.length) : 0);
  if (!chosen) return <p>Nobody is free here, for the reasons beside this. It can be left open.</p>;
  if (offers === null) return <Waiting name={chosen.name} />;
  if (!offers.ok) return <ProblemNotice problem={offers.error} />;
  const ideas = turns.ideas.slice(0, count);
  if (ideas.length === 0) {
    return (
      <p>
        No idea that {chosen.name} could play here at this tempo. It can be {chosen.name}’s ad lib, or left
        open.
      </p>
    );
  }
  return (
    <>
      <p className="sr-only" role="status">
        {turns.said === '' ? `${ideas.length} ideas for ${chosen.name}` : turns.said}
      </p>
      <ol className="ideas" aria-label={`Ideas for ${chosen.name}`}>
        {ideas.slice(0, drawn).map((offer, i) => (
          <Idea
            // biome-ignore lint/suspicious/noArrayIndexKey: an idea keeps its place while it is turned
            key={i}
            offer={offer}
            index={i}
            {...rest}
            turns={turns}
            isOpen={openAt === i}
            isMeant={(openAt ?? 0) === i}
            open={open}
          />
        ))}
      </ol>
      {ideas.some((offer) => asksForCare(offer.reasons)) && <Care />}
    </>
  );
}

/** The first idea stands at once, and each other one in a frame of its own, so that a key between them waits for one alone. */
function useOneByOne(count: number): number {
  const [drawn, setDrawn] = useState(1);
  useEffect(() => {
    if (drawn < count) startTransition(() => setDrawn(drawn + 1));
  }, [drawn, count]);
  return drawn;
}

/** Said only when there is something to wait for: offers usually come within a frame or two. */
function Waiting({ name }: { readonly name: string }) {
  const [late, setLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setLate(true), 400);
    return () => clearTimeout(timer);
  }, []);
  return <p role="status">{late ? `Working out ideas for ${name} …` : '\u{A0}'}</p>;
}

interface IdeaProps extends Omit<IdeasProps, 'chosen' | 'offers' | 'count' | 'openAt'> {
  readonly offer: Offer;
  readonly index: number;
  readonly isOpen: boolean;
  /** The idea that keys for one idea mean: the one that is being changed, else the first. */
  readonly isMeant: boolean;
}

const Idea = memo(function Idea(props: IdeaProps) {
  const { offer, index, mayEdit, arrangement, instrument, chordName, settle } = props;
  const reasons = offer.reasons
    .filter((reason) => reason.rule !== 'family' && reason.detail !== '')
    .map((reason) => reason.detail);
  return (
    <li className={isLong(offer.notes, arrangement.pixelsPerTick) ? 'idea idea-long' : 'idea'}>
      <div>
        <p className="idea-title">
          <span className="idea-number" aria-hidden="true">
            {index + 1}
          </span>
          {offer.title}
        </p>
        <p className="aside">{sentence(reasons.slice(0, 4).join('; '))}</p>
        {mayEdit && (
          <div className="turns">
            <Button
              shortcut={String(index + 1)}
              onPress={() => settle(offer)}
              label={`Settle idea ${index + 1}: ${offer.title}`}
            >
              Settle this
            </Button>
            {props.propose && (
              <Button
                {...(props.isMeant && !props.isAsked && { shortcut: 'i' as const })}
                onPress={() => props.propose?.(offer)}
                label={`Put it to the band: idea ${index + 1}`}
              >
                Put it to the band
              </Button>
            )}
            <Button
              expanded={props.isOpen}
              onPress={() => props.open(props.isOpen ? null : index)}
              label={`Change it: idea ${index + 1}`}
            >
              Change it
            </Button>
          </div>
        )}
      </div>
      <div className="idea-tab">
        <IdeaTab notes={offer.notes} {...{ arrangement, instrument, chordName }} />
      </div>
      {props.isOpen && <IdeaTurns {...props} />}
    </li>
  );
});
