'use client';
import type { SongEdits } from '../../lib/document';
import { fillNotesAt } from '../../lib/fills';
import { type Arrangement, holdingInWords, settingOf } from '../../lib/parts';
import { type Answer, type Band, tallyOf } from '../../lib/song';
import { type Space, spaceAt, tickOfPlace } from '../../lib/spaces';
import { Button } from '../ui/Button';
import { whenInWords } from '../ui/said';
import { shapeNames } from './detail-words';
import { NotesRows } from './NotesRows';
import { nameOf, notesInWords, votesInWords } from './said-words';

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
  /** Settles what was put, or asks whose word it is. */
  readonly settle: (answer: Answer) => void;
  /** While it is asked whose word it is: the key of settling is the question's. */
  readonly isAsked: boolean;
}

/** What was put to the band for a space, with who says what of it. */
export function Agreeing(props: AgreeingProps) {
  const { arrangement, band, space, atOnce, here } = props;
  const put = arrangement.song.proposals.filter(
    (answer) =>
      spaceAt(arrangement.spaces, answer.place, arrangement.timeline)?.id === space.id &&
      !atOnce.some(({ id }) => id === answer.id),
  );
  const isCarried = (answer: Answer) => band.votes && tallyOf(answer, arrangement.song, band).carried;
  // The keys are one idea's: the one that is carried, else the first.
  const meant = put.find(isCarried) ?? put[0];
  const own = put.findLast(({ by }) => by !== null && by === props.you);
  return (
    <>
      <p className="aside" role="status">
        {here.length > 0 && `${here.join(' and ')} ${here.length === 1 ? 'is' : 'are'} here too.`}
      </p>
      {put.length > 0 && (
        <section className="proposals" aria-label="Put to the band">
          <h4 className="detail-heading">Put to the band</h4>
          <ol>
            {put.map((answer) => (
              <Proposal
                key={answer.id}
                {...props}
                answer={answer}
                isMeant={answer === meant}
                isOwnMeant={answer === own}
              />
            ))}
          </ol>
        </section>
      )}
    </>
  );
}

function Proposal({
  answer,
  isMeant,
  isOwnMeant,
  arrangement,
  band,
  you,
  edits,
  settle,
  isAsked,
}: AgreeingProps & { readonly answer: Answer; readonly isMeant: boolean; readonly isOwnMeant: boolean }) {
  const { song, timeline } = arrangement;
  const { holding, extent } = answer;
  const holder = holding.kind === 'left open' ? null : band.players.find(({ id }) => id === holding.playerId);
  const origin = tickOfPlace(timeline, answer.place) ?? 0;
  const instrument = holder ? settingOf(song, holder).instrument : 'guitar';
  const tally = tallyOf(answer, song, band);
  const isCarried = band.votes && tally.carried;
  const key = (shortcut: 'j' | 'c' | 'q') => (isMeant ? { shortcut } : {});
  const yours = you !== null && answer.by === you;
  return (
    <li className="py-2">
      <p>
        {nameOf(band.players, answer.by)} puts forward: {holdingInWords(holding, band.players)}{' '}
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
        <p className={isCarried ? 'font-semibold' : 'aside'} role="status">
          {votesInWords(tally, band.players)}
        </p>
      )}
      {edits && (
        <div className="turns">
          <Button
            look={isCarried ? 'main' : 'words'}
            {...(isAsked ? {} : key('j'))}
            onPress={() => settle(answer)}
          >
            {isCarried ? 'Settle what is carried' : 'Settle what was put forward'}
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
          {yours && (
            <Button
              {...(isOwnMeant ? { shortcut: '-' } : {})}
              onPress={() => edits.withdrawProposal(answer.id)}
            >
              Take it back
            </Button>
          )}
        </div>
      )}
    </li>
  );
}
