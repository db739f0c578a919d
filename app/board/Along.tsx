'use client';

import { useEffect, useRef, useState, useSyncExternalStore } from 'react';
import type { Player } from '../../lib/song';
import type { OpenDocument, Shown, Whereabouts } from '../sync';
import { Button } from '../ui/Button';
import { AloneHere } from './AloneHere';
import {
  leadersOf,
  newlyShown,
  nextLeader,
  type SeenShows,
  sightOf,
  targetOf,
  whereaboutsOf,
  whereInWords,
} from './along';
import { lineInSight } from './facts';
import { type AlongWays, showLine, useAlong } from './useAlong';
import { useOwnSight } from './useOwnSight';

interface AlongProps extends AlongWays {
  readonly document: OpenDocument | null;
  /** Null: a listener, or not said; who goes along, and shows nothing. */
  readonly me: Player | null;
  /** Of the passes, in the order of the song. */
  readonly names: readonly string[];
}

const NOBODY: readonly Whereabouts[] = [];
const never = () => () => {};
const nobody = () => NOBODY;
/** Nothing was seen yet. */
const NOTHING_SEEN: SeenShows = new Map();

/** Going along with a bandmate, and showing the band a place; at the foot of the screen while either goes on. */
export function Along(props: AlongProps) {
  const { document, me, names, root, arrangement, walk, way } = props;
  const watch = document?.whereabouts;
  const others = useSyncExternalStore(watch?.subscribe ?? never, watch?.getSnapshot ?? nobody, nobody);
  useOwnSight(document, root, arrangement.passes);

  const leaders = leadersOf(others, me?.id ?? null);
  const [leader, setLeader] = useState<{ readonly playerId: string; readonly name: string } | null>(null);
  /** What was done last; `stays`: also for who sees the page. */
  const [said, setSaid] = useState({ text: '', stays: false });
  const at = whereaboutsOf(others, leader?.playerId ?? null);
  const target = at && targetOf(arrangement, at);
  const stop = () => {
    setLeader(null);
    setSaid({ text: 'You go your own way again.', stays: false });
  };
  useAlong(props, { isOn: leader !== null, target, stop });
  const begin = (chosen: { readonly playerId: string; readonly name: string } | null) => {
    if (!chosen) return;
    way.close();
    setLeader(chosen);
  };

  const { news, forget } = useShown(others);
  const shown = news && { ...news, target: targetOf(arrangement, news.shown) };
  const goThere = () => {
    if (!shown) return;
    forget();
    if (leader) stop();
    way.close();
    walk.setOpen(shown.target.spaceId);
    showLine(root.current, shown.target.line);
    setSaid({ text: `You are at ${whereInWords(arrangement, names, shown.target)}.`, stays: false });
  };
  const show = () => {
    const place = walk.open?.place ?? null;
    const sight = sightOf(arrangement.passes, lineInSight(root.current));
    if (!document || !sight) return;
    const { shown: before } = document.awareness.getLocalState() ?? {};
    const nth = (isCounted(before) ? before.nth : 0) + 1;
    document.awareness.setLocalStateField('shown', { nth, place, sight } satisfies Shown);
    const where = whereInWords(arrangement, names, targetOf(arrangement, { place, sight }));
    setSaid({ text: `The others are shown ${where}.`, stays: true });
  };

  const next = nextLeader(leaders, leader?.playerId ?? null);
  const where = target && whereInWords(arrangement, names, target);
  const whoShows = shown && `${shown.name === '' ? 'Somebody' : shown.name} shows the band`;
  const whereShown = shown && whereInWords(arrangement, names, shown.target);
  return (
    <section className="no-print plain" aria-label="Together">
      <p className="flex min-h-(--touch) flex-wrap items-center gap-x-6">
        {others.length === 0 && <AloneHere />}
        {leaders
          .filter(({ playerId }) => playerId !== leader?.playerId)
          .map((one) => (
            <Button
              key={one.playerId}
              {...(one.playerId === next?.playerId ? { shortcut: 'y' } : {})}
              onPress={() => begin(one)}
            >
              Go along with {one.name}
            </Button>
          ))}
        {me && others.length > 0 && (
          <Button shortcut=";" onPress={show}>
            Show the band this place
          </Button>
        )}
        {said.stays && <span className="text-[0.9375rem] text-quiet">{said.text}</span>}
      </p>
      {(shown || leader) && (
        <div className="along-now">
          {shown && (
            <p className="flex flex-wrap items-center gap-x-6">
              <span>
                {whoShows} {whereShown}.
              </span>
              <Button shortcut="0" onPress={goThere}>
                Go there
              </Button>
              <Button shortcut="-" onPress={forget}>
                Stay here
              </Button>
            </p>
          )}
          {leader && (
            <p className="flex flex-wrap items-center gap-x-6">
              <span>
                You go along with {leader.name}
                {at === null && ', who is not here just now'}.
              </span>
              <Button onPress={stop} shortcut="Escape">
                Go your own way
              </Button>
            </p>
          )}
        </div>
      )}
      <span role="status" className="sr-only">
        {shown && `${whoShows} ${whereShown}. `}
        {leader ? `You go along with ${leader.name}${where === null ? '' : `: ${where}`}.` : said.text}
      </span>
    </section>
  );
}

/** The place that was shown last, until one has gone there or stays. */
function useShown(others: readonly Whereabouts[]) {
  const seen = useRef(NOTHING_SEEN);
  const [news, setNews] = useState<(Whereabouts & { readonly shown: Shown }) | null>(null);
  useEffect(() => {
    const found = newlyShown(seen.current, others);
    seen.current = found.seen;
    const last = found.news.at(-1);
    if (last) setNews(last);
  }, [others]);
  return { news, forget: () => setNews(null) };
}

const isCounted = (value: unknown): value is { readonly nth: number } =>
  typeof value === 'object' && value !== null && 'nth' in value && typeof value.nth === 'number';
