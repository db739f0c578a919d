'use client';

import { useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Arrangement, holdingInWords, inWords, putForward, whereInWords } from '../../lib/parts';
import type { Answer, Band } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { Button } from '../ui/Button';
import { nameOf, votesInWords } from './said-words';
import { useNext } from './useNext';

/** At a song's head: what is put to the band over the whole song, what of it waits for whom, and the way to each. */
export function PutForwardList({
  arrangement,
  band,
  atOnce,
  you,
  edits,
  goTo,
}: {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly atOnce: readonly Answer[];
  readonly you: string | null;
  /** Null: nothing can be written now. */
  readonly edits: SongEdits | null;
  readonly goTo: (space: Space) => void;
}) {
  const [isOpen, setOpen] = useState(false);
  const put = putForward(arrangement, band, atOnce, you);
  const there = put.filter(({ space }) => space !== null);
  const [next, went] = useNext(there.length);
  if (put.length === 0) return null;
  const own = put.find(({ answer }) => answer.by !== null && answer.by === you);
  return (
    <section className="no-print my-2" aria-label="Put to the band in this song">
      <p className="flex flex-wrap items-baseline gap-x-6">
        <span role="status">{waitingInWords(put.length, put.filter(({ waits }) => waits).length)}</span>
        <Button shortcut="!" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          What is put to the band
        </Button>
      </p>
      {isOpen && (
        <ol>
          {put.map(({ answer, space, tally, waits }) => {
            const what = `${nameOf(band.players, answer.by)} puts forward: ${holdingInWords(answer.holding, band.players)}`;
            const where = space
              ? whereInWords(arrangement, space.place)
              : 'hangs on nothing in the song any more';
            const at = there.findIndex((one) => one.answer.id === answer.id);
            return (
              <li key={answer.id} className="flex flex-wrap items-baseline gap-x-4 py-1">
                <span>
                  {what}; {where}. {waits && <span className="font-semibold">It waits for your word. </span>}
                  {band.votes && <span className="aside">{votesInWords(tally, band.players)}</span>}
                </span>
                {space && (
                  <Button
                    {...(at === next ? { shortcut: '=' } : {})}
                    label={`Go there: ${what}; ${where}`}
                    onPress={() => {
                      went(at);
                      goTo(space);
                    }}
                  >
                    go there
                  </Button>
                )}
                {edits && answer.by !== null && answer.by === you && (
                  <Button
                    {...(own?.answer.id === answer.id ? { shortcut: '_' } : {})}
                    label={`Take it back: ${what}; ${where}`}
                    onPress={() => edits.withdrawProposal(answer.id)}
                  >
                    take it back
                  </Button>
                )}
              </li>
            );
          })}
        </ol>
      )}
    </section>
  );
}

function waitingInWords(count: number, waiting: number): string {
  const say = (number: number) => {
    const words = inWords(number);
    return `${words.charAt(0).toUpperCase()}${words.slice(1)} ${number === 1 ? 'idea' : 'ideas'}`;
  };
  if (waiting === 0) return `${say(count)} ${count === 1 ? 'is' : 'are'} put to the band.`;
  const wait = `${say(waiting)} ${waiting === 1 ? 'waits' : 'wait'} for your word`;
  return waiting === count ? `${wait}.` : `${wait}; ${inWords(count)} are put to the band.`;
}
