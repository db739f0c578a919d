'use client';

import { lazy, Suspense, useEffect, useMemo, useRef, useState } from 'react';
import { hangOf, passName, WORD_SIZE } from '../../lib/parts';
import type { SongPage } from '../../lib/protocol';
import type { Comment } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import { untilItComes } from '../hooks/untilItComes';
import { useBand } from '../hooks/useBand';
import { useKeys } from '../hooks/useKeys';
import { useSong } from '../hooks/useSong';
import { Plan } from '../plan/Plan';
import { Foot } from '../ui/Foot';
import { AloneHere } from './AloneHere';
import { AtOnceNote } from './AtOnce';
import { BoardPass, loadPanel } from './BoardPass';
import { Comments } from './Comments';
import { OpenSpace } from './OpenSpace';
import { SongHead } from './SongHead';
import { EndLine, StartLine } from './StartAndEnd';
import { isReadable } from './symbols';
import { useArrangement } from './useArrangement';
import { useFacts } from './useFacts';
import { useLaidOut } from './useLaidOut';
import { useTalk } from './useTalk';
import { useWalk } from './useWalk';
import { useWords } from './useWords';
import './board.css';

const PutForwardList = lazy(async () => ({
  default: (await untilItComes(() => import('./PutForwardList'))).PutForwardList,
}));
const Along = lazy(async () => ({ default: (await untilItComes(() => import('./Along'))).Along }));
const AgreedOn = lazy(async () => ({ default: (await untilItComes(() => import('./AgreedOn'))).AgreedOn }));
const SinceLast = lazy(async () => ({
  default: (await untilItComes(() => import('./SinceLast'))).SinceLast,
}));

const NOTHING: readonly Comment[] = [];

/** The page on which a song is arranged. All that it shows is computed from the song; it stores nothing itself. */
export function Board({ songId, initial }: { readonly songId: string; readonly initial: SongPage }) {
  const bandId = initial.band.id;
  const you = initial.you.playerId;
  const { band, edits: bandEdits } = useBand({ bandId, initial: initial.band, you: initial.you });
  const me = band.players.find((player) => player.id === you) ?? null;
  const { song, edits, status, peers, document, setPresence, atOnce, broken, nextUndo } = useSong({
    bandId,
    songId,
    initial: initial.song,
    you: initial.you,
    me,
  });
  const mayEdit = edits !== null;
  const root = useRef<HTMLElement>(null);
  const arrangement = useArrangement(song);
  const way = useWords(root, arrangement, edits, isReadable);
  const walk = useWalk(root, arrangement, way, mayEdit);
  const talk = useTalk(root, arrangement, walk, way);
  const { open } = walk;
  const facts = useFacts(arrangement, band, peers, open?.id ?? null, walk.press);
  const [backupOf, setBackupOf] = useState<string | null>(null);
  useKeys({ 'mod+shift+z': () => edits?.redo() }, mayEdit);

  useEffect(() => setPresence(open?.place ?? null), [open, setPresence]);
  useLaidOut(root, arrangement.passes, status.loaded);
  // What opens beneath a line is there before a line is opened.
  useEffect(() => {
    if (mayEdit) void loadPanel();
  }, [mayEdit]);

  const names = useMemo(
    () =>
      arrangement.passes.map(({ passId }) => {
        const played = song.passes.find((one) => one.id === passId);
        return played ? passName(song, played) : '';
      }),
    [arrangement, song],
  );
  const hang = useMemo(() => hangOf(arrangement.passes, arrangement.pixelsPerTick, WORD_SIZE), [arrangement]);
  const openSpace = (space: Space) => {
    walk.goTo(space.place);
    if (open?.id !== space.id) walk.press(space.id);
  };
  const shared = { arrangement, band, facts, edits, you };

  return (
    <>
      <main id="text" className="board" ref={root}>
        <SongHead
          song={song}
          band={band}
          bandId={bandId}
          me={me}
          edits={edits}
          status={status}
          peers={peers}
          arrangement={arrangement}
          broken={broken}
          nextUndo={nextUndo}
        />
        <div className="board-ways">
          <Suspense fallback={<AloneHere />}>
            <Along
              document={document}
              me={me}
              names={names}
              root={root}
              arrangement={arrangement}
              walk={walk}
              way={way}
            />
          </Suspense>
          <Plan
            song={song}
            band={band}
            you={you}
            arrangement={arrangement}
            context={facts.context}
            edits={edits}
            open={walk.setOpen}
          />
        </div>
        <AtOnceNote atOnce={atOnce} players={band.players} arrangement={arrangement} open={walk.setOpen} />
        <Suspense>
          <SinceLast
            bandId={bandId}
            song={song}
            players={band.players}
            you={you}
            doc={status.loaded ? (document?.doc ?? null) : null}
            isHere={status.loaded && status.state === 'kept'}
            goTo={(place) => talk.goTo(place) || walk.goTo(place)}
          />
        </Suspense>
        {song.proposals.length > 0 && (
          <Suspense>
            <PutForwardList
              arrangement={arrangement}
              band={band}
              atOnce={atOnce}
              you={you}
              edits={edits}
              goTo={openSpace}
            />
          </Suspense>
        )}
        {arrangement.passes.length === 0 && (
          <p className="py-8">
            This song has no bars yet. Bring it in again from a file, or from pasted text.
          </p>
        )}
        {arrangement.passes.length > 0 && <StartLine song={song} band={band} edits={edits} />}
        {arrangement.passes.map((pass, i) => (
          <BoardPass
            key={pass.passId ?? pass.sectionId}
            {...shared}
            pass={pass}
            played={song.passes.find((one) => one.id === pass.passId) ?? null}
            name={names[i] ?? ''}
            time={names.slice(0, i + 1).filter((name) => name === names[i]).length}
            hang={hang}
            way={way}
            talk={talk}
            openSpace={openSpace}
            onWords={mayEdit ? walk.onWords : undefined}
            backup={{
              isOpen: backupOf === pass.passId,
              toggle: () => setBackupOf((now) => (now === pass.passId ? null : pass.passId)),
            }}
            open={open}
            detail={
              open &&
              walk.isShown && (
                <OpenSpace
                  key={open.id}
                  {...shared}
                  space={open}
                  bandEdits={bandEdits}
                  atOnce={atOnce}
                  said={talk.talk.bySpace.get(open.id) ?? NOTHING}
                  close={walk.close}
                />
              )
            }
          />
        ))}
        {arrangement.passes.length > 0 && <EndLine song={song} band={band} edits={edits} />}
        {status.loaded && document && (
          <Suspense>
            <AgreedOn doc={document.doc} song={song} players={band.players} edits={edits} />
          </Suspense>
        )}
        <section className="no-print" aria-label="About the song">
          <Comments
            said={talk.talk.ofSong}
            place={null}
            what="the song"
            band={band}
            you={you}
            edits={edits}
          />
        </section>
      </main>
      <Foot />
    </>
  );
}
