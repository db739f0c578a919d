'use client';

import { memo, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import { unanswered } from '../../lib/parts';
import type { Band, Comment, Place } from '../../lib/song';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import { whenInWords } from '../ui/said';
import { nameOf } from './said-words';

/** The song's talk has keys of its own, since it always stands on the page; of the others one is open at a time. */
const SONG_KEYS = { say: ',', takeBack: '&', noted: "'" } as const;
const KEYS = { say: '.', takeBack: ':', noted: '"' } as const;

/** What people say of one thing: read, answered, added to, one's own taken back. */
export const Comments = memo(function Comments({
  said,
  place,
  what,
  begin = '',
  band,
  you,
  edits,
}: {
  /** In time order. */
  readonly said: readonly Comment[];
  /** Where what is said here hangs; null: on the song. */
  readonly place: Place | null;
  /** `the song`, `the line`. */
  readonly what: string;
  /** What stands in the field before anything is typed. */
  readonly begin?: string;
  readonly band: Band;
  readonly you: string | null;
  /** Null: nothing can be written now. */
  readonly edits: SongEdits | null;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const opener = useRef<HTMLButtonElement>(null);
  const wasWriting = useRef(false);
  // Who wrote, or thought better of it, goes on from where they began.
  useEffect(() => {
    if (wasWriting.current && draft === null) opener.current?.focus();
    wasWriting.current = draft !== null;
  }, [draft]);
  const keys = place === null ? SONG_KEYS : KEYS;
  const own = said.findLast(({ by }) => by !== null && by === you);
  const waiting = unanswered(said);
  const waitsForYou = you !== null && waiting.some(({ by }) => by !== you);
  const say = (text: string) => {
    if (!edits) return;
    const done = edits.comment(place, text);
    setProblem(done.ok ? null : done.error);
    if (done.ok) setDraft(null);
  };
  return (
    <div className="comments">
      {said.length > 0 && (
        <ul aria-label="What is said about it">
          {said.map((comment) => (
            <li key={comment.id} className="flex flex-wrap items-baseline gap-x-4">
              <span>
                {nameOf(band.players, comment.by)}: {comment.text}{' '}
                <span className="aside">
                  {whenInWords(comment.at)}
                  {waiting.includes(comment) && ', not answered yet'}
                </span>
              </span>
              {edits && you !== null && comment.by === you && (
                <Button
                  {...(comment === own ? { shortcut: keys.takeBack } : {})}
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
        <div className="turns">
          <Button ref={opener} shortcut={keys.say} onPress={() => setDraft(begin)}>
            Say something about {what}
          </Button>
          {waitsForYou && (
            <Button shortcut={keys.noted} onPress={() => say('Noted')}>
              Noted
            </Button>
          )}
        </div>
      )}
      {edits && draft !== null && (
        <form
          onSubmit={(event) => {
            event.preventDefault();
            say(draft.trim() === begin.trim() ? '' : draft);
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
        </form>
      )}
      {problem && <ProblemNotice problem={problem} />}
    </div>
  );
});
