'use client';

import { startTransition, useEffect, useMemo, useRef, useState } from 'react';
import type { Result } from '../../lib/base';
import { hearsSame, type Offer } from '../../lib/fills';
import { type Arrangement, singsSame, soundsSame } from '../../lib/parts';
import type { Figure, Player, PlayerSetting, Song } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { Seat } from '../workers/offers';
import { Desk } from './desk';

/** A stretch of time. */
export interface Stretch {
  readonly startTick: number;
  readonly endTick: number;
}

/** Where a player's fills for a space are worked out, and from what; null: there is nobody to work for. */
export interface Seated {
  readonly desk: Desk;
  readonly seat: Seat;
}

/**
 * The state of a song that a space's ideas are worked out from: it stays the same while others settle and talk, or write chords
 * elsewhere, so that the ideas of an open space stay under one's eyes. A break's depend on what stands before it.
 */
export function useSounding(arrangement: Arrangement, space: Space): Arrangement {
  const last = useRef(arrangement);
  const now =
    space.kind !== 'instrumental' && hasSameIdeas(last.current, arrangement, space)
      ? last.current
      : arrangement;
  last.current = now;
  return now;
}

const hasSameIdeas = (one: Arrangement, other: Arrangement, space: Space): boolean =>
  soundsSame(one.song, other.song) ||
  (singsSame(one.song, other.song) && hearsSame(one.timeline, other.timeline, space));

/** A player before a space, with a worker beside the page that ends with the component. */
export function useSeat(
  song: Song,
  space: Space,
  stretch: Stretch,
  player: Player | null,
  setting: PlayerSetting | null,
  figures: readonly Figure[],
): Seated | null {
  const desk = useMemo(() => new Desk(), []);
  useEffect(() => () => desk.leave(), [desk]);
  useEffect(() => desk.takeSong(song), [desk, song]);
  const seat = player && setting ? seatOf(space, stretch, player, setting, figures) : null;
  const key = JSON.stringify(seat);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key says all that is in it
  return useMemo(() => (seat ? { desk, seat } : null), [desk, key]);
}

function seatOf(
  space: Space,
  stretch: Stretch,
  player: Player,
  setting: PlayerSetting,
  figures: readonly Figure[],
): Seat {
  const { instrument, tuning, capo, fifthCapo } = setting;
  return {
    spaceId: space.id,
    stretch: { startTick: stretch.startTick, endTick: stretch.endTick },
    setup: { instrument, tuning, capo, fifthCapo },
    rule: setting.rule ?? player.rule,
    spanMillimetres: player.spanMillimetres,
    comfortEighthsPerMinute: player.comfortEighthsPerMinute,
    voiceRange: player.range,
    figures: figures.filter((figure) => figure.playerId === player.id && figure.instrument === instrument),
  };
}

/** How long a space stands open before ideas are worked out for it, in milliseconds: less than a glance, more than a key that is held down. */
const REST = 150;

interface Shown {
  readonly song: Song;
  readonly seated: Seated | null;
  readonly offers: Result<readonly Offer[]>;
}

/** Offers for one space and one player, worked out beside the page; null while they are being worked out. */
export function useOffers(song: Song, seated: Seated | null, count: number): Result<readonly Offer[]> | null {
  const [shown, setShown] = useState<Shown | null>(null);
  useEffect(() => {
    if (!seated) return;
    let isWanted = true;
    seated.desk.takeSong(song);
    // The space is seen to open first; who goes on to the next one meanwhile asks nothing here, and waits for no ideas to be drawn.
    const timer = setTimeout(
      () =>
        seated.desk.ask(seated.seat, { kind: 'offers', count }).then((answer) => {
          if (isWanted && answer?.kind === 'offers')
            // No key waits for them.
            startTransition(() => setShown({ song, seated, offers: answer.offers }));
        }),
      REST,
    );
    return () => {
      isWanted = false;
      clearTimeout(timer);
    };
  }, [song, seated, count]);
  return shown !== null && shown.seated === seated && shown.song === song ? shown.offers : null;
}
