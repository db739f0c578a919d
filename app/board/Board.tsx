'use client';

import { lazy, Suspense, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { fillOf, type Offer } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, hangOf, othersInWords, passName, settingOf, WORD_SIZE } from '../../lib/parts';
import { type FreedomContext, whoIsFree } from '../../lib/players';
import type { SongPage } from '../../lib/protocol';
import { type Extent, type Holding, type Place, type Player, samePlace, whoseWord } from '../../lib/song';
import { type Space, tickOfPlace } from '../../lib/spaces';
import { parseChord } from '../../lib/theory';
import { useBand } from '../hooks/useBand';
import { useKeys } from '../hooks/useKeys';
import { useSong } from '../hooks/useSong';
import { Plan } from '../plan/Plan';
import { Foot } from '../ui/Foot';
import { Agreeing, Comments } from './Agreeing';
import { AtOnce, AtOnceNote } from './AtOnce';
import { barsOf, lineInSight, peersBySpace, stanzasOf, troublesOf } from './facts';
import { BOARD_LINE, BREAK_LINE } from './geometry';
import type { Inks } from './inks';
import type { WordsInUse } from './look';
import { PassMargin } from './PassMargin';
import { PassView } from './PassView';
import { atOf } from './places';
import { SongHead } from './SongHead';
import { SpaceDetail } from './SpaceDetail';
import { EndLine, StartLine } from './StartAndEnd';
import { useArrangement } from './useArrangement';
import { useWords } from './useWords';
import { labelsOf, putAt } from './words';
import './board.css';

const NOBODY: readonly Inks[] = [];
const BackupPanel = lazy(async () => ({ default: (await import('./BackupPanel')).BackupPanel }));
const SinceLast = lazy(async () => ({ default: (await import('./SinceLast')).SinceLast }));
const loadPanel = () => import('./WordsPanel');
const WordsPanel = lazy(async () => ({ default: (await loadPanel()).WordsPanel }));

/** The page on which a song is arranged. All that it shows is computed from the song; it stores nothing itself. */
export function Board({ songId, initial }: { readonly songId: string; readonly initial: SongPage }) {
  const bandId = initial.band.id;
  const { band, edits: bandEdits } = useBand({ bandId, initial: initial.band, you: initial.you });
  const me = band.players.find((player) => player.id === initial.you.playerId) ?? null;
  const { song, edits, status, peers, setPresence, atOnce, broken, nextUndo } = useSong({
    bandId,
    songId,
    initial: initial.song,
    you: initial.you,
    me,
  });
  const [openId, setOpenId] = useState<string | null>(null);
  const [backupOf, setBackupOf] = useState<string | null>(null);
  const arrangement = useArrangement(song);
  const context: FreedomContext = useMemo(
    () => ({
      timeline: arrangement.timeline,
      players: band.players,
      spaces: arrangement.spaces,
      settled: song.settled,
    }),
    [arrangement, band.players, song.settled],
  );
  const mayEdit = edits !== null;
  const open = arrangement.spaces.find((space) => space.id === openId) ?? null;
  const root = useRef<HTMLElement>(null);

  useEffect(() => setPresence(open?.place ?? null), [open, setPresence]);
  // What opens beneath a line is there before a line is opened.
  useEffect(() => {
    if (mayEdit) void loadPanel();
  }, [mayEdit]);

  const playerOf = useCallback(
    (id: string): Inks | null => band.players.find((player) => player.id === id) ?? null,
    [band.players],
  );
  const breakOf = useCallback(
    (passId: string): Inks | null => {
      const pass = song.passes.find((one) => one.id === passId);
      return band.players.find((player) => pass?.roles[player.id] === 'break') ?? null;
    },
    [band.players, song.passes],
  );
  const instrumentOf = useCallback(
    (playerId: string): InstrumentName => {
      const player = band.players.find((one) => one.id === playerId);
      return player ? settingOf(song, player).instrument : 'guitar';
    },
    [band.players, song],
  );

  const focusSpace = (id: string) =>
    root.current?.querySelector<HTMLElement>(`[data-space="${CSS.escape(id)}"]`)?.focus();
  const way = useWords(root, arrangement, edits, isReadable);
  const { choose } = way;
  const press = useCallback(
    (id: string) => {
      choose(null);
      setOpenId((now) => (now === id ? null : id));
    },
    [choose],
  );
  const openWords = (lineKey: string) => {
    setOpenId(null);
    if (way.place?.lineKey === lineKey) way.close();
    else way.openLine(lineKey);
  };
  // What lines are given stays the same from one look to the next, so that only a line that changed is drawn again.
  const opening = useRef(openWords);
  useEffect(() => {
    opening.current = openWords;
  });
  const onWords = useCallback((lineKey: string) => opening.current(lineKey), []);
  const wordsIn = (lineKey: string): WordsInUse | null =>
    way.place?.lineKey !== lineKey
      ? null
      : {
          words: way.places.words.filter((one) => one.lineKey === lineKey),
          chords: way.places.chords.filter((one) => one.lineKey === lineKey),
          chosen: atOf(way.place),
          choose,
          write: way.write,
          labelOf: way.labelOf,
        };
  const close = () => {
    if (openId) focusSpace(openId);
    setOpenId(null);
  };
  /** To a space, or to the start of the pass that a place is in. */
  const goTo = (place: Place) => {
    const space = arrangement.spaces.find((one) => samePlace(one.place, place));
    if (space) return focusSpace(space.id);
    root.current?.querySelector(`[data-pass="${CSS.escape(place.passId)}"]`)?.scrollIntoView();
  };
  const go = (by: number) => {
    const { spaces } = arrangement;
    const focused = document.activeElement?.getAttribute('data-space');
    const at = spaces.findIndex((space) => space.id === (openId ?? focused));
    const next = spaces[at < 0 ? (by > 0 ? 0 : spaces.length - 1) : at + by];
    if (!next) return;
    if (openId) setOpenId(next.id);
    focusSpace(next.id);
  };
  useKeys(
    Object.fromEntries([
      ['ArrowDown', () => go(1)],
      ['ArrowUp', () => go(-1)],
    ]),
  );
  useKeys({ w: () => openWords(lineInSight(root.current)) }, mayEdit);
  useKeys({ 'mod+shift+z': () => edits?.redo() }, mayEdit);

  const extentOf = (space: Space): Extent => {
    const origin = tickOfPlace(arrangement.timeline, space.place) ?? 0;
    return { from: space.startTick - origin, to: space.endTick - origin };
  };
  // Who is given a whole pass has its break.
  const hold = (space: Space, extent: Extent, holding: Exclude<Holding, { kind: 'left open' }>) =>
    space.kind === 'instrumental'
      ? edits?.settleBreak(space.place, extent, holding)
      : edits?.settle(space.place, extent, holding);
  const settleFill = (space: Space, player: Player, offer: Pick<Offer, 'family' | 'notes'>) => {
    const { fill, extent } = fillOf(offer, space);
    hold(space, extent, { kind: 'fill', playerId: player.id, fill });
  };

  const names = arrangement.passes.map(({ passId }) => {
    const played = song.passes.find((one) => one.id === passId);
    return played ? passName(song, played) : '';
  });
  const hang = hangOf(arrangement.passes, arrangement.pixelsPerTick, WORD_SIZE);
  const troubles = useMemo(() => troublesOf(arrangement, context), [arrangement, context]);
  const troubleOf = useCallback((id: string) => troubles.get(id) ?? null, [troubles]);
  const labels = useMemo(() => labelsOf(arrangement, playerOf), [arrangement, playerOf]);
  const put = useMemo(
    () => new Set(arrangement.spaces.filter((one) => putAt(arrangement, one) > 0).map(({ id }) => id)),
    [arrangement],
  );
  const touches = useMemo(() => peersBySpace(arrangement.spaces, peers), [arrangement, peers]);
  const touched = useMemo(
    () => ({
      openId,
      press,
      peersAt: (id: string) => touches.get(id) ?? NOBODY,
      labelOf: (id: string) => labels.get(id) ?? '',
      isPut: (id: string) => put.has(id),
    }),
    [openId, press, touches, labels, put],
  );
  const detailFor = (lineStart: number, lineEnd: number) => {
    if (!open || open.startTick < lineStart || open.startTick >= lineEnd) return null;
    return (
      <SpaceDetail
        key={open.id}
        arrangement={arrangement}
        space={open}
        standing={arrangement.bySpace.get(open.id) ?? null}
        players={band.players}
        freedoms={whoIsFree(open, context)}
        mayEdit={mayEdit}
        you={initial.you.playerId}
        instrumentOf={instrumentOf}
        figures={band.figures}
        addFigure={bandEdits && ((figure) => bandEdits.addFigure(figure))}
        settleFill={settleFill}
        settleAdLib={(space, player) => hold(space, extentOf(space), { kind: 'ad lib', playerId: player.id })}
        leaveOpen={(space) => edits?.settle(space.place, extentOf(space), { kind: 'left open' })}
        clear={(space) => edits?.unsettle(arrangement.bySpace.get(space.id)?.answer.place ?? space.place)}
        close={close}
        agreeing={
          <Agreeing
            arrangement={arrangement}
            band={band}
            space={open}
            here={(touches.get(open.id) ?? NOBODY).map(({ name }) => name)}
            you={initial.you.playerId}
            edits={edits}
            atOnce={atOnce}
          />
        }
        comments={
          <Comments
            arrangement={arrangement}
            band={band}
            you={initial.you.playerId}
            edits={edits}
            place={open.place}
          />
        }
        propose={
          edits &&
          ((space, player, offer) => {
            const { fill, extent } = fillOf(offer, space);
            edits.propose(space.place, extent, { kind: 'fill', playerId: player.id, fill });
          })
        }
        wordOn={(playerId) =>
          whoseWord(
            band,
            arrangement.bySpace.get(open.id)?.answer.holding ?? null,
            playerId === null ? null : { kind: 'ad lib', playerId },
          )
        }
        atOnce={
          <AtOnce
            atOnce={atOnce}
            players={band.players}
            place={arrangement.bySpace.get(open.id)?.answer.place ?? null}
            edits={edits}
          />
        }
        trouble={troubles.get(open.id) ?? null}
        breaker={open.kind === 'instrumental' ? (breakOf(open.place.passId)?.name ?? null) : null}
      />
    );
  };

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
        <AtOnceNote atOnce={atOnce} players={band.players} arrangement={arrangement} open={setOpenId} />
        <Suspense>
          <SinceLast
            bandId={bandId}
            song={song}
            players={band.players}
            you={initial.you.playerId}
            isHere={status.loaded && status.state === 'kept'}
            goTo={goTo}
          />
        </Suspense>
        <Plan
          song={song}
          players={band.players}
          openShare={band.openShare}
          arrangement={arrangement}
          context={context}
          edits={edits}
          open={setOpenId}
        />
        {arrangement.passes.length === 0 && (
          <p className="py-8">
            This song has no bars yet. Bring it in again from a file, or from pasted text.
          </p>
        )}
        {arrangement.passes.length > 0 && <StartLine song={song} band={band} edits={edits} />}
        {arrangement.passes.map((pass, i) => {
          const played = song.passes.find((one) => one.id === pass.passId);
          return (
            <PassView
              key={pass.passId ?? pass.sectionId}
              pass={pass}
              name={names[i] ?? ''}
              time={names.slice(0, i + 1).filter((name) => name === names[i]).length}
              margin={
                played && (
                  <PassMargin
                    pass={played}
                    band={band}
                    edits={edits}
                    others={othersInWords(arrangement, band, played)}
                    bars={barsOf(arrangement, pass.passId)}
                    index={song.passes.indexOf(played)}
                    count={song.passes.length}
                    stanzas={stanzasOf(song, played.sectionId)}
                    backup={{
                      isOpen: backupOf === played.id,
                      toggle: () => setBackupOf(backupOf === played.id ? null : played.id),
                    }}
                  />
                )
              }
              detail={(key) => {
                if (way.place?.lineKey === key)
                  return (
                    <Suspense>
                      <WordsPanel way={way} stanzas={played ? stanzasOf(song, played.sectionId) : 1} />
                    </Suspense>
                  );
                const line = pass.lines.find((one) => one.key === key);
                return line ? <Suspense>{detailFor(line.startTick, line.endTick)}</Suspense> : null;
              }}
              beneath={
                played &&
                backupOf === played.id && (
                  <Suspense>
                    <BackupPanel
                      arrangement={arrangement}
                      band={band}
                      pass={played}
                      you={initial.you.playerId}
                    />
                  </Suspense>
                )
              }
              pixelsPerTick={arrangement.pixelsPerTick}
              geometry={BOARD_LINE}
              bySpace={arrangement.bySpace}
              playerOf={playerOf}
              breakOf={breakOf}
              instrumentOf={instrumentOf}
              songKey={song.key}
              chordName={same}
              isReadable={isReadable}
              onlyPlayer={null}
              hang={hang}
              barNumbers
              troubleOf={troubleOf}
              onWords={mayEdit ? onWords : undefined}
              lookOf={({ key }) => ({
                ...(played?.stanza === null ? breakLook(arrangement, hang) : look(arrangement, hang)),
                words: wordsIn(key),
              })}
              spaces={touched}
            />
          );
        })}
        {arrangement.passes.length > 0 && <EndLine song={song} band={band} edits={edits} />}
        <section className="no-print" aria-label="About the song">
          <Comments
            arrangement={arrangement}
            band={band}
            you={initial.you.playerId}
            edits={edits}
            place={null}
          />
        </section>
      </main>
      <Foot />
    </>
  );
}

const look = (arrangement: Arrangement, hang: number) => ({
  geometry: BOARD_LINE,
  pixelsPerTick: arrangement.pixelsPerTick,
  hang,
});
/** Nobody sings and nothing is written out: the bars stand close. */
const breakLook = (arrangement: Arrangement, hang: number) => ({
  ...look(arrangement, hang),
  geometry: BREAK_LINE,
});

const same = (symbol: string): string => symbol;
const isReadable = (symbol: string): boolean =>
  parseChord(symbol) !== null || /^n\.?\s*c\.?$/i.test(symbol.trim());
