'use client';

import { type ReactNode, useCallback, useEffect, useState } from 'react';
import type { Kind, LinkGiven, YourLink } from '../../lib/protocol';
import { type ApiProblem, ask } from '../hooks/api';
import { Button } from '../ui/Button';
import { GivenLink } from '../ui/GivenLink';
import { ProblemNotice } from '../ui/Notice';

/** What is about to be done to one link, or to all of them. */
type Doing = { readonly what: 'end' | 'change'; readonly linkId: string } | { readonly what: 'end all' };

/**
 * The band's private links: new ones, those that were given before (whose secrets nobody can read again), and the single
 * devices that are in without one.
 */
export function Links({ bandId }: { readonly bandId: string }) {
  const [given, setGiven] = useState<readonly LinkGiven[]>([]);
  const [shown, setShown] = useState<readonly YourLink[] | null>(null);
  const [doing, setDoing] = useState<Doing | null>(null);
  const [problem, setProblem] = useState<ApiProblem | null>(null);
  const [busy, setBusy] = useState(false);
  const [said, setSaid] = useState('');
  const path = `/api/bands/${bandId}/links`;

  const load = useCallback(async () => {
    const answer = await ask(path, 'links');
    if (answer.ok) setShown(answer.value.links);
    else setProblem(answer.error);
  }, [path]);
  useEffect(() => void load(), [load]);

  const begin = () => {
    setDoing(null);
    setBusy(true);
    setProblem(null);
    setSaid('');
  };
  const make = async (kind: Kind) => {
    begin();
    const answer = await ask(path, 'link', { kind });
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven([answer.value, ...given]);
    await load();
  };
  const end = async (linkId: string) => {
    begin();
    const answer = await ask(`${path}/${linkId}/end`, 'links', {});
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven(given.filter((link) => link.linkId !== linkId));
    setShown(answer.value.links);
    setSaid('It is ended.');
  };
  const change = async (linkId: string) => {
    begin();
    const answer = await ask(`${path}/${linkId}/change`, 'linkChanged', {});
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven([answer.value.given, ...given.filter((link) => link.linkId !== linkId)]);
    setShown(answer.value.links);
    setSaid('The old link is ended; the new one stands above.');
  };
  const endAll = async () => {
    begin();
    const answer = await ask(`${path}/end`, 'links', {});
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setGiven([]);
    setShown(answer.value.links);
    setSaid('Everybody else is out. Make new links for those who belong here.');
  };

  const live = (shown ?? []).filter((link) => link.endedAt === null);
  const links = live.filter((link) => !link.own);
  const devices = live.filter((link) => link.own && !link.yours);
  const stop = () => setDoing(null);
  const isAbout = (link: YourLink) => doing !== null && 'linkId' in doing && doing.linkId === link.linkId;

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
      <p role="status" className="aside min-h-5">
        {said}
      </p>
      {live.length > 0 && (
        <details>
          <summary className="plain flex min-h-(--touch) items-center underline decoration-edge underline-offset-4">
            {links.length === 1 ? 'One link is open' : `${links.length} links are open`}
          </summary>
          <ul>
            {links.map((link) => (
              <li key={link.linkId} className="flex flex-wrap items-baseline gap-x-4">
                <span>
                  for {link.kind === 'player' ? 'players' : 'listeners'}, made on {dateText(link.createdAt)}
                  {link.yours && ' (you are in by it)'}
                </span>
                {isAbout(link) && doing?.what === 'end' ? (
                  <Sure
                    says={`Who came in by it is out at once${link.yours ? ', but for you' : ''}.`}
                    yes="End it"
                    no="Leave it open"
                    busy={busy}
                    onYes={() => end(link.linkId)}
                    onNo={stop}
                  />
                ) : isAbout(link) ? (
                  <Sure
                    says="Who came in by it is out at once; you get a new link to give out."
                    yes="Change it"
                    no="Leave it as it is"
                    busy={busy}
                    onYes={() => change(link.linkId)}
                    onNo={stop}
                  />
                ) : (
                  <span className="flex flex-wrap items-baseline gap-x-4">
                    <Button
                      disabled={busy}
                      onPress={() => setDoing({ what: 'change', linkId: link.linkId })}
                      label={`Change the link for a ${link.kind} made on ${dateText(link.createdAt)}`}
                    >
                      change it …
                    </Button>
                    <Button
                      disabled={busy}
                      onPress={() => setDoing({ what: 'end', linkId: link.linkId })}
                      label={`End the link for a ${link.kind} made on ${dateText(link.createdAt)}`}
                    >
                      end it …
                    </Button>
                  </span>
                )}
              </li>
            ))}
            {devices.map((link) => (
              <li key={link.linkId} className="flex flex-wrap items-baseline gap-x-4">
                <span>
                  one device of a player’s, in since {dateText(link.createdAt)} without a link: it made the
                  band, or ended the link that it came in by
                </span>
                {isAbout(link) ? (
                  <Sure
                    says="It is out at once."
                    yes="Put it out"
                    no="Leave it in"
                    busy={busy}
                    onYes={() => end(link.linkId)}
                    onNo={stop}
                  />
                ) : (
                  <Button
                    disabled={busy}
                    onPress={() => setDoing({ what: 'end', linkId: link.linkId })}
                    label={`Put out the device that is in since ${dateText(link.createdAt)}`}
                  >
                    put it out …
                  </Button>
                )}
              </li>
            ))}
          </ul>
          {doing?.what === 'end all' ? (
            <Sure
              says="All links end, and everybody is out at once but this device."
              yes="Put everybody out"
              no="Leave them in"
              busy={busy}
              onYes={endAll}
              onNo={stop}
            />
          ) : (
            <Button disabled={busy} onPress={() => setDoing({ what: 'end all' })}>
              End all links and put everybody out …
            </Button>
          )}
        </details>
      )}
    </>
  );
}

/** Asked once more before what cannot be taken back. */
function Sure({
  says,
  yes,
  no,
  busy,
  onYes,
  onNo,
}: {
  readonly says: ReactNode;
  readonly yes: string;
  readonly no: string;
  readonly busy: boolean;
  readonly onYes: () => void;
  readonly onNo: () => void;
}) {
  return (
    <span className="flex flex-wrap items-baseline gap-x-4">
      <span className="aside">{says}</span>
      <Button disabled={busy} onPress={onYes}>
        {yes}
      </Button>
      <Button shortcut="Escape" onPress={onNo}>
        {no}
      </Button>
    </span>
  );
}

const dateText = (at: number): string =>
  new Date(at).toLocaleDateString(undefined, { day: 'numeric', month: 'long', year: 'numeric' });
