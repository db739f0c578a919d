'use client';

import { type MouseEvent, useEffect, useMemo, useRef, useState } from 'react';
import { arrange, PRINT_WORD_SIZE, partOf } from '../../lib/parts';
import type { SongPage } from '../../lib/protocol';
import { useBand } from '../hooks/useBand';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { useSong } from '../hooks/useSong';
import { ActionLink, Button } from '../ui/Button';
import { Status } from '../ui/Status';
import { SIZES, sheetLook, usualStep } from './look';
import { PassList } from './PassList';
import { Sheet } from './Sheet';
import { usePages } from './usePages';
import { useWakeLock, type Wake } from './useWakeLock';
import '../board/board.css';
import './stand.css';

const WAKE: Readonly<Record<Wake, string>> = {
  asking: '',
  awake: 'The screen stays awake.',
  cannot: 'This device will not keep its screen awake: let it sleep later in its own settings.',
};

/** Before a view is measured: a tablet held upright. */
const USUAL_WIDTH = 780;

/** One song, large, before a player: their own part, turned page by page without a hand on the screen. */
export function StandPage({
  songId,
  playerId,
  initial,
}: {
  readonly songId: string;
  readonly playerId: string;
  readonly initial: SongPage;
}) {
  const bandId = initial.band.id;
  const { band } = useBand({ bandId, initial: initial.band, you: initial.you });
  const me = band.players.find(({ id }) => id === initial.you.playerId) ?? null;
  const { song, status } = useSong({ bandId, songId, initial: initial.song, you: initial.you, me });
  const player =
    band.players.find(({ id }) => id === playerId) ?? initial.band.players.find(({ id }) => id === playerId);
  const view = useRef<HTMLDivElement>(null);
  const sheet = useRef<HTMLDivElement>(null);
  const [isOpen, setOpen] = useState(false);
  const wake = useWakeLock();

  const [width, setWidth] = useState(USUAL_WIDTH);
  const { step, larger, smaller } = useSize(width);
  const [fit, setFit] = useState({ step, width, by: 1 });
  const by = fit.step === step && fit.width === width ? fit.by : 1;
  const scale = (SIZES[step] ?? 1) * by;
  const arrangement = useMemo(() => arrange(song, PRINT_WORD_SIZE, null), [song]);
  const part = useMemo(
    () => (player ? partOf(arrangement, band, player) : null),
    [arrangement, band, player],
  );
  const look = useMemo(() => sheetLook(arrangement, scale, width), [arrangement, scale, width]);
  const pages = usePages(
    view,
    sheet,
    useMemo(() => ({ part, look }), [part, look]),
  );
  useEffect(() => {
    if (pages.width > 0) setWidth(pages.width);
  }, [pages.width]);
  // A bar that is wider than the view: all is drawn smaller until it goes in.
  useEffect(() => {
    if (pages.width !== width || pages.widest <= width + 1 || by < 0.3) return;
    setFit({ step, width, by: by * Math.max(0.5, (width / pages.widest) * 0.98) });
  }, [pages.width, pages.widest, width, step, by]);

  const turn = (steps: number) => {
    setOpen(false);
    pages.go(pages.at + steps);
    view.current?.focus({ preventScroll: true });
  };
  const on = () => turn(1);
  const back = () => turn(-1);
  useKeys(
    Object.fromEntries([
      [ARROWS.right, on],
      [ARROWS.left, back],
      [ARROWS.down, on],
      [ARROWS.up, back],
      ['space', (event: KeyboardEvent) => turn(event.shiftKey ? -1 : 1)],
      ['Home', () => turn(-pages.count)],
      ['End', () => turn(pages.count)],
    ]),
  );
  const goTo = (passId: string) => {
    setOpen(false);
    pages.goToPass(passId);
    view.current?.focus({ preventScroll: true });
  };
  const touch = (event: MouseEvent<HTMLElement>) => {
    const box = event.currentTarget.getBoundingClientRect();
    turn(event.clientX < box.left + box.width / 2 ? -1 : 1);
  };
  if (!player || !part) return null;
  const board = `/band/${bandId}/song/${songId}`;
  const here = pages.passesHere.flatMap((id) => part.order.find(({ passId }) => passId === id)?.name ?? []);
  return (
    <main id="text" className="stand in-the-dark">
      <nav aria-label="Where you are" className="stand-bar">
        <ActionLink href={board} shortcut="u">
          {song.title}
        </ActionLink>
        <Button shortcut="g" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          Go to a pass
        </Button>
        <Button shortcut="-" disabled={step === 0} onPress={smaller}>
          Smaller
        </Button>
        <Button shortcut="+" disabled={step === SIZES.length - 1} onPress={larger}>
          Larger
        </Button>
        <span role="status" className="stand-wake">
          {WAKE[wake]}
        </span>
        <Status status={status} />
      </nav>
      <div className="stand-body">
        <PassList
          song={song}
          here={pages.passesHere}
          isOpen={isOpen}
          onGo={goTo}
          onClose={() => {
            setOpen(false);
            view.current?.focus({ preventScroll: true });
          }}
        />
        {/* biome-ignore lint/a11y/noStaticElementInteractions lint/a11y/useKeyWithClickEvents: the halves are for a finger; keys and buttons do the same */}
        <div ref={view} className="stand-view" tabIndex={-1} onClick={touch}>
          <div
            className="stand-clip"
            style={pages.shown ? { height: pages.shown.bottom - pages.shown.top } : undefined}
          >
            <div style={{ translate: `0 ${-(pages.shown?.top ?? 0)}px` }}>
              <Sheet
                ref={sheet}
                arrangement={arrangement}
                band={band}
                player={player}
                part={part}
                look={look}
                width={width}
              />
            </div>
          </div>
        </div>
      </div>
      <div className="stand-foot">
        <Button shortcut="PageUp" disabled={pages.at === 0} onPress={back}>
          Page back
        </Button>
        <p role="status">
          {pages.count === 0 ? '' : `Page ${pages.at + 1} of ${pages.count}`}
          <span className="stand-here">{here.length > 0 && `: ${here.join(', ')}`}</span>
        </p>
        <Button shortcut="PageDown" disabled={pages.at >= pages.count - 1} onPress={on}>
          Next page
        </Button>
      </div>
    </main>
  );
}

const STORE = 'breathmark.stand';

/** How large the sheet is drawn: as the player last wished on this device, else as suits the width. */
function useSize(width: number) {
  const [wished, setWished] = useState<number | null>(null);
  useEffect(() => {
    try {
      const kept = localStorage.getItem(STORE);
      const step = kept === null ? Number.NaN : Number(kept);
      if (Number.isInteger(step) && SIZES[step] !== undefined) setWished(step);
    } catch {
      // Without storage the usual size stands.
    }
  }, []);
  const step = wished ?? usualStep(width);
  const wish = (to: number) => {
    if (SIZES[to] === undefined) return;
    setWished(to);
    try {
      localStorage.setItem(STORE, String(to));
    } catch {
      // It holds as long as the page stands.
    }
  };
  return { step, larger: () => wish(step + 1), smaller: () => wish(step - 1) };
}
