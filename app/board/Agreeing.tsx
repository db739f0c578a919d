'use client';

import { useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import { fillNotesAt } from '../../lib/fills';
import { type Arrangement, settingOf } from '../../lib/parts';
import { type Answer, type Band, type Comment, type Place, samePlace, tallyOf } from '../../lib/song';
import { type Space, tickOfPlace } from '../../lib/spaces';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import { shapeNames } from './detail-words';
import { NotesRows } from './NotesRows';
import { nameOf, notesInWords, whenInWords } from './said-words';

interface AgreeingProps {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly space: Space;
  /** The player at this page; null: a listener, or somebody who has not said who they are. */
  readonly you: string | null;
  /** Names of the others who have this space open. */
  readonly here: readonly string[];
  /** Null: nothing can be written now. */
  readonly edits: SongEdits | null;
  /** Answers that were settled at the same time as the one that stands: they are told apart. */
  readonly atOnce: readonly Answer[];
}

/** What was put to the band for a space, with who says what of it. */
export function Agreeing(props: AgreeingProps) {
  const { arrangement, space, atOnce, here } = props;
  const put = arrangement.song.proposals.filter(
    (answer) => samePlace(answer.place, space.place) && !atOnce.some(({ id }) => id === answer.id),
  );
  return (
    <>
      <p className="aside" role="status">
        {here.length > 0 && `${here.join(' and ')} ${here.length === 1 ? 'is' : 'are'} here too.`}
      </p>
      {put.length > 0 && (
        <section className="proposals" aria-label="Put to the band">
          <h4 className="detail-heading">Put to the band</h4>
          <ol>
            {put.map((answer, i) => (
              <Proposal key={answer.id} {...props} answer={answer} isFirst={i === 0} />
            ))}
          </ol>
        </section>
      )}
    </>
  );
}

function Proposal({
  answer,
  isFirst,
  arrangement,
  band,
  you,
  edits,
}: AgreeingProps & { readonly answer: Answer; readonly isFirst: boolean }) {
  const { song, timeline } = arrangement;
  const { holding, extent } = answer;
  const holder = holding.kind === 'left open' ? null : band.players.find(({ id }) => id === holding.playerId);
  const origin = tickOfPlace(timeline, answer.place) ?? 0;
  const instrument = holder ? settingOf(song, holder).instrument : 'guitar';
  const tally = tallyOf(answer, song, band);
  const said = (ids: readonly string[]) => ids.map((id) => nameOf(band.players, id)).join(', ');
  const what =
    holding.kind === 'left open'
      ? 'to leave it open'
      : holding.kind === 'ad lib'
        ? `${holder?.name ?? 'somebody'}, ad lib`
        : `a ${holding.fill.family} for ${holder?.name ?? 'somebody who has left'}`;
  const key = (shortcut: 'j' | 'c' | 'q') => (isFirst ? { shortcut } : {});
  const yours = you !== null && answer.by === you;
  return (
    <li className="py-2">
      <p>
        {nameOf(band.players, answer.by)} puts forward: {what}{' '}
        <span className="aside">{whenInWords(answer.at)}</span>
      </p>
      {holding.kind === 'fill' && holder && (
        <NotesRows
          arrangement={arrangement}
          notes={fillNotesAt(holding.fill, origin)}
          startTick={origin + extent.from}
          endTick={origin + extent.to}
          instrument={instrument}
          chordName={shapeNames(arrangement, holder)}
          label={(_first, _last, notes) => notesInWords(notes, instrument)}
        />
      )}
      {band.votes && (
        <p className="aside" role="status">
          {tally.yes.length === 0 && tally.no.length === 0
            ? 'Nobody has said yes or no yet.'
            : [
                tally.yes.length > 0 ? `yes: ${said(tally.yes)}` : '',
                tally.no.length > 0 ? `no: ${said(tally.no)}` : '',
                tally.carried ? 'more than half the band is for it' : '',
              ]
                .filter((text) => text !== '')
                .join('; ')}
        </p>
      )}
      {edits && (
        <div className="turns">
          <Button {...key('j')} onPress={() => edits.settleProposal(answer.id)}>
            Settle what was put forward
          </Button>
          {band.votes && you !== null && (
            <>
              <Button
                {...key('c')}
                pressed={tally.yes.includes(you)}
                onPress={() => edits.vote(answer.id, tally.yes.includes(you) ? null : true)}
              >
                Yes
              </Button>
              <Button
                {...key('q')}
                pressed={tally.no.includes(you)}
                onPress={() => edits.vote(answer.id, tally.no.includes(you) ? null : false)}
              >
                No
              </Button>
            </>
          )}
          {yours && <Button onPress={() => edits.withdrawProposal(answer.id)}>Take it back</Button>}
        </div>
      )}
    </li>
  );
}

/** What people say about a place of the song, or about the song: read, added to, one's own taken back. */
export function Comments({
  arrangement,
  band,
  you,
  edits,
  place,
}: Pick<AgreeingProps, 'arrangement' | 'band' | 'you' | 'edits'> & { readonly place: Place | null }) {
  const [draft, setDraft] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const here = arrangement.song.comments.filter((comment) => isAt(comment, place));
  const write = () => {
    if (draft === null || !edits) return;
    const done = edits.comment(place, draft);
    setProblem(done.ok ? null : done.error);
    if (done.ok) setDraft(null);
  };
  return (
    <div className="comments">
      {here.length > 0 && (
        <ul aria-label="What is said about it">
          {here.map((comment) => (
            <li key={comment.id} className="flex flex-wrap items-baseline gap-x-4">
              <span>
                {nameOf(band.players, comment.by)}: {comment.text}{' '}
                <span className="aside">{whenInWords(comment.at)}</span>
              </span>
              {edits && you !== null && comment.by === you && (
                <Button
                  label={`Take back what you said: ${comment.text}`}
                  onPress={() => edits.removeComment(comment.id)}
                >
                  take back
                </Button>
              )}
            </li>
          ))}
        </ul>
      )}
      {edits && draft === null && (
        <Button shortcut={place === null ? ',' : '.'} onPress={() => setDraft('')}>
          {place === null ? 'Say something about the song' : 'Say something about it'}
        </Button>
      )}
      {edits && draft !== null && (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            write();
          }}
        >
          <Field label="To the band" value={draft} onChange={setDraft} most={2000} autoFocus />
          <div className="turns">
            <Button look="main" submit>
              Say it
            </Button>
            <Button shortcut="Escape" onPress={() => setDraft(null)}>
              Not now
            </Button>
          </div>
          {problem && <ProblemNotice problem={problem} />}
        </form>
      )}
    </div>
  );
}

const isAt = ({ place: at }: Comment, place: Place | null): boolean =>
  at === null || place === null ? at === place : samePlace(at, place);
