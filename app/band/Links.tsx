'use client';

import { useCallback, useEffect, useState } from 'react';
import type { Kind, LinkGiven, LinkShown } from '../../lib/protocol';
import { type ApiProblem, answers, ask } from '../hooks/api';
import { Button } from '../ui/Button';
import { GivenLink } from '../ui/GivenLink';
import { ProblemNotice } from '../ui/Notice';

/** The band's private links: new ones, and those that were given before (whose secrets nobody can read again). */
export function Links({ bandId }: { readonly bandId: string }) {
  const [given, setGiven] = useState<readonly LinkGiven[]>([]);
  const [shown, setShown] = useState<readonly LinkShown[] | null>(null);
  const [ending, setEnding] = useState<string | null>(null);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [busy, setBusy] = useState(false);
  const path = `/api/bands/${bandId}/links`;

  const load = useCallback(async () => {
    const answer = await ask(path, answers.links);
    if (answer.ok) setShown(answer.value.links);
    else setProblem(answer.error);
  }, [path]);
  useEffect(() => void load(), [load]);

  const make = async (kind: Kind) => {
    setBusy(true);
    setProblem(null);
    const answer = await ask(path, answers.link, { kind });
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven([answer.value, ...given]);
    await load();
  };
  const end = async (linkId: string) => {
    setEnding(null);
    setBusy(true);
    setProblem(null);
    const answer = await ask(`${path}/${linkId}/end`, answers.nothing, {});
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven(given.filter((link) => link.linkId !== linkId));
    await load();
  };

  const live = (shown ?? []).filter((link) => link.endedAt === null);
  return (
    <>
      <p className="max-w-prose">
        Who opens a private link is in the band on that device. A link can be read only when it is made.
      </p>
      <div className="flex flex-wrap gap-x-8">
        <Button shortcut="i" disabled={busy} onPress={() => make('player')}>
          New link for a player
        </Button>
        <Button shortcut="o" disabled={busy} onPress={() => make('listener')}>
          New link for a listener
        </Button>
      </div>
      <div aria-live="polite">
        {given.map((link) => (
          <GivenLink key={link.linkId} link={link} />
        ))}
      </div>
      {problem && <ProblemNotice problem={problem} />}
      {live.length > 0 && (
        <details>
          <summary className="plain flex min-h-(--touch) items-center underline decoration-edge underline-offset-4">
            {live.length === 1 ? 'One link is open' : `${live.length} links are open`}
          </summary>
          <ul>
            {live.map((link) => (
              <li key={link.linkId} className="flex flex-wrap items-baseline gap-x-4">
                <span>
                  for {link.kind === 'player' ? 'players' : 'listeners'}, made on {dateText(link.createdAt)}
                </span>
                {ending === link.linkId ? (
                  <span className="flex flex-wrap items-baseline gap-x-4">
                    <span className="aside">Who came in by it is out at once.</span>
                    <Button disabled={busy} onPress={() => end(link.linkId)}>
                      End it
                    </Button>
                    <Button shortcut="Escape" onPress={() => setEnding(null)}>
                      Leave it open
                    </Button>
                  </span>
                ) : (
                  <Button
                    disabled={busy}
                    onPress={() => setEnding(link.linkId)}
                    label={`End the link for a ${link.kind} made on ${dateText(link.createdAt)}`}
                  >
                    end it …
                  </Button>
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

const dateText = (at: number): string =>
  new Date(at).toLocaleDateString(undefined, { day: 'numeric', month: 'long', year: 'numeric' });
