'use client';

import dynamic from 'next/dynamic';
import { useRouter } from 'next/navigation';
import { type FormEvent, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandPage } from '../../lib/protocol';
import type { Player } from '../../lib/song';
import { ask } from '../hooks/api';
import { untilItComes } from '../hooks/untilItComes';
import { useBand } from '../hooks/useBand';
import { useOpener } from '../hooks/useOpener';
import { Sets } from '../set/Sets';
import { ActionLink, Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Foot } from '../ui/Foot';
import { Initials } from '../ui/Initials';
import { ProblemNotice } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { Present } from '../ui/Present';
import { Status } from '../ui/Status';
import { HowWeAgree } from './HowWeAgree';
import { Leave } from './Leave';
import { Links } from './Links';
import { OneMicrophone } from './OneMicrophone';
import { Players } from './Players';
import { Songs } from './Songs';
import type { SongFacts } from './song-list';
import { WhoAreYou } from './WhoAreYou';
import { WholeBand } from './WholeBand';

/** Loaded where a band has any. */
const Figures = dynamic(async () => (await untilItComes(() => import('./Figures'))).Figures);

/** The band's page, live over its document; drawn from `first` before that has arrived. */
export function BandView({
  first,
  facts,
}: {
  readonly first: BandPage;
  /** What is known of the songs beside the list itself; null: it was not asked for. */
  readonly facts: Readonly<Record<string, SongFacts>> | null;
}) {
  const router = useRouter();
  const [playerId, setPlayerId] = useState(first.you.playerId);
  const [asking, setAsking] = useState(false);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const live = useBand({
    bandId: first.band.id,
    initial: first.band,
    you: { playerId, kind: first.you.kind },
  });
  const { band, edits, status, peers, nextUndo } = live;
  const isPlayer = first.you.kind === 'player';
  const me = band.players.find((player) => player.id === playerId) ?? null;
  const whoFirst = isPlayer && (me === null || asking);

  const be = async (id: string) => {
    setBusy(true);
    setProblem(null);
    const answer = await ask('/api/you', 'you', { bandId: band.id, playerId: id });
    setBusy(false);
    if (!answer.ok) return setProblem(answer.error);
    setPlayerId(id);
    setAsking(false);
    // What the server draws for other pages of this band depends on who this is.
    router.refresh();
    document.getElementById('band-name')?.focus();
  };
  const leaveAsking = () => {
    setAsking(false);
    document.getElementById('band-name')?.focus();
  };
  const addMe = async (player: Player) => {
    const added = edits?.addPlayer(player);
    if (!added) return;
    if (!added.ok) return setProblem(added.error);
    setBusy(true);
    // The server can only call this device by a player that it has.
    await live.whenKept();
    await be(added.value);
  };

  return (
    <>
      <main id="text" className="page">
        <header className="indent pt-2">
          <nav aria-label="Where you are">
            <ActionLink href="/" shortcut="h">
              Breathmark
            </ActionLink>
          </nav>
          <BandName name={band.name} onRename={edits ? (name) => edits.rename(name) : null} />
          <div className="mt-2 flex flex-wrap items-center gap-x-6">
            <Status status={status} />
            <Present peers={peers.filter((peer) => peer.playerId !== playerId || playerId === null)} />
            {edits && nextUndo !== null && (
              <Button shortcut="mod+z" onPress={() => edits.undo()}>
                Take back {nextUndo}
              </Button>
            )}
          </div>
          {!isPlayer && (
            <p className="aside mt-2">You are here as a listener: you can read everything and print it.</p>
          )}
          {live.broken.length > 0 && (
            <p className="aside">
              {live.broken.length === 1 ? 'One thing' : `${live.broken.length} things`} of this band could not
              be read, and nothing was deleted for it: {live.broken.slice(0, 3).join('; ')}
            </p>
          )}
          {problem && <ProblemNotice problem={problem} />}
        </header>

        {whoFirst ? (
          <WhoAreYou
            players={band.players}
            mayAdd={edits !== null}
            busy={busy}
            onPick={(player) => be(player.id)}
            onAdd={addMe}
            onLater={me ? leaveAsking : null}
          />
        ) : (
          <>
            <Passage heading="Songs" rule={false}>
              <Songs band={band} mayEdit={isPlayer} edits={edits} facts={facts} />
            </Passage>
            {(isPlayer || band.sets.length > 0) && (
              <Passage heading="Set lists">
                <Sets bandId={band.id} sets={band.sets} edits={edits} whenKept={live.whenKept} />
              </Passage>
            )}
            <Passage heading="Players">
              <Players players={band.players} edits={edits} youId={playerId} />
            </Passage>
            {band.figures.length > 0 && (
              <Passage heading="Figures of one’s own">
                <Figures band={band} edits={edits} />
              </Passage>
            )}
            {edits && band.players.length > 0 && (
              <Passage heading="Agreeing">
                <HowWeAgree band={band} edits={edits} />
              </Passage>
            )}
            {edits && band.players.length > 1 && (
              <Passage heading="The microphone">
                <OneMicrophone band={band} edits={edits} />
              </Passage>
            )}
            {isPlayer && (
              <Passage heading="Private links">
                <Links bandId={band.id} />
              </Passage>
            )}
            {me && (
              <Passage heading="This device">
                <p className="flex flex-wrap items-baseline gap-x-4">
                  <span>
                    You are {me.name} (<Initials initials={me.initials} ink={me.ink} />
                    ).
                  </span>
                  <Button shortcut="w" onPress={() => setAsking(true)}>
                    Somebody else?
                  </Button>
                </p>
              </Passage>
            )}
            <Passage heading="The whole band">
              <WholeBand bandId={band.id} />
            </Passage>
            <Passage heading="Leaving">
              <Leave bandId={band.id} bandName={band.name} mayDelete={isPlayer} />
            </Passage>
          </>
        )}
      </main>
      <Foot />
    </>
  );
}

function BandName({
  name,
  onRename,
}: {
  readonly name: string;
  readonly onRename: ((name: string) => void) | null;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const editing = draft !== null && onRename !== null;
  const opener = useOpener(editing);
  useEffect(() => {
    if (editing) field.current?.select();
  }, [editing]);

  const keep = (event: FormEvent) => {
    event.preventDefault();
    const text = draft?.trim() ?? '';
    if (text !== '' && text !== name) onRename?.(text);
    setDraft(null);
  };

  if (editing) {
    return (
      <form onSubmit={keep}>
        <h1 className="sr-only">{name}</h1>
        <Field ref={field} label="Name of the band" value={draft} onChange={setDraft} most={120} autoFocus />
        <div className="flex flex-wrap gap-x-8">
          <Button submit look="main" shortcut="Enter">
            Keep it
          </Button>
          <Button shortcut="Escape" onPress={() => setDraft(null)}>
            Leave it as it was
          </Button>
        </div>
      </form>
    );
  }
  return (
    <div className="flex flex-wrap items-baseline gap-x-4">
      <h1 id="band-name" tabIndex={-1} className="text-4xl outline-none">
        {name || 'A band without a name'}
      </h1>
      {onRename && (
        <Button ref={opener} shortcut="r" onPress={() => setDraft(name)} label="Rename the band">
          rename
        </Button>
      )}
    </div>
  );
}
