'use client';

import { type FormEvent, memo, useCallback, useMemo, useState, useSyncExternalStore } from 'react';
import type * as Y from 'yjs';
import type { Result } from '../../lib/base';
import { changesBetween } from '../../lib/changes';
import { type Kept, keptIn, type SongEdits, songKept, watchKept } from '../../lib/document';
import type { Player, Song } from '../../lib/song';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { sentence } from '../ui/Notice';
import { whenInWords } from '../ui/said';

interface AgreedOnProps {
  readonly doc: Y.Doc;
  readonly song: Song;
  readonly players: readonly Player[];
  /** Null while nothing can be written. */
  readonly edits: SongEdits | null;
}

/** The song as the band agreed on it: keep it as it is, see what changed since, go back, and lose nothing by it. */
export const AgreedOn = memo(function AgreedOn({ doc, song, players, edits }: AgreedOnProps) {
  const kept = useKept(doc);
  const [isOpen, setOpen] = useState(false);
  const [name, setName] = useState('');
  const [said, setSaid] = useState<string | null>(null);
  const [shown, setShown] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  if (edits === null && kept.length === 0) return null;

  const tell = (done: Result<unknown>, words: string) => {
    setProblem(done.ok ? null : `${sentence(done.error.what)} ${sentence(done.error.mend)}`);
    setSaid(done.ok ? words : null);
    return done.ok;
  };
  const keep = (event: FormEvent) => {
    event.preventDefault();
    if (edits && tell(edits.keep(name), `Kept: ${name.trim()}.`)) setName('');
  };
  const goBack = (one: Kept) => {
    const done = edits?.goBack(one.id);
    if (!done) return;
    const beside = `This is the song as in ‘${one.name}’. How it was before is kept here, too.`;
    tell(done, done.ok && done.value === null ? 'The song is just as it was then.' : beside);
  };
  return (
    <section className="no-print my-2" aria-label="As agreed on">
      <p className="flex flex-wrap items-baseline gap-x-6">
        <Button shortcut="#" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          As agreed on
        </Button>
        {kept[0] && (
          <span className="aside">
            {kept[0].name}, {whenInWords(kept[0].at)}
          </span>
        )}
      </p>
      <p role="status" className={said === null ? 'sr-only' : ''}>
        {said}
      </p>
      {isOpen && (
        <>
          {edits && (
            <form onSubmit={keep} className="flex flex-wrap items-end gap-x-6">
              <Field
                label="Keep the song as it is now, as"
                value={name}
                onChange={setName}
                most={80}
                hint="‘for Saturday’, say"
                problem={problem}
              />
              <Button submit disabled={name.trim() === ''}>
                Keep it
              </Button>
            </form>
          )}
          <ul>
            {kept.map((one) => (
              <li key={one.id} className="my-2">
                <p className="flex flex-wrap items-baseline gap-x-6">
                  <span>
                    <strong>{one.name}</strong>
                    <span className="aside">
                      {' '}
                      {whenInWords(one.at)}
                      {byWhom(one, players)}
                    </span>
                  </span>
                  <Button
                    expanded={shown === one.id}
                    label={`What changed since: ${one.name}`}
                    onPress={() => setShown(shown === one.id ? null : one.id)}
                  >
                    What changed since
                  </Button>
                  {edits && (
                    <>
                      <Button label={`Go back to it: ${one.name}`} onPress={() => goBack(one)}>
                        Go back to it
                      </Button>
                      <Button
                        label={`Throw it away: ${one.name}`}
                        onPress={() =>
                          tell(edits.throwAway(one.id), `Thrown away: ${one.name}. Undo brings it back.`)
                        }
                      >
                        Throw it away
                      </Button>
                    </>
                  )}
                </p>
                {shown === one.id && <Since doc={doc} id={one.id} song={song} players={players} />}
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
});

/** What the song is now and was not then, in sentences. */
function Since({
  doc,
  id,
  song,
  players,
}: Pick<AgreedOnProps, 'doc' | 'song' | 'players'> & { readonly id: string }) {
  const then = useMemo(() => songKept(doc, id), [doc, id]);
  if (!then.ok)
    return <p className="text-accent">{`${sentence(then.error.what)} ${sentence(then.error.mend)}`}</p>;
  // What is put to the band is no part of what was agreed on.
  const now = { ...song, proposals: [], votes: [], comments: [] };
  const before = { ...then.value, proposals: [], votes: [], comments: [] };
  const changes = changesBetween(before, now, players);
  if (changes.length === 0) return <p>Nothing: the song is as it was then.</p>;
  return (
    <ul>
      {changes.map((change, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: the list stands as it was made
        <li key={i}>{sentence(change.sentence)}</li>
      ))}
    </ul>
  );
}

function byWhom({ by }: Kept, players: readonly Player[]): string {
  const name = players.find(({ id }) => id === by)?.name;
  return name === undefined ? '' : `, by ${name}`;
}

/** What is kept, as it is now. */
function useKept(doc: Y.Doc): readonly Kept[] {
  const watch = useCallback((listener: () => void) => watchKept(doc, listener), [doc]);
  const read = useMemo(() => {
    let key = '';
    let last: readonly Kept[] = [];
    return () => {
      const now = keptIn(doc);
      const nowKey = JSON.stringify(now);
      if (nowKey !== key) [key, last] = [nowKey, now];
      return last;
    };
  }, [doc]);
  return useSyncExternalStore(watch, read, read);
}
