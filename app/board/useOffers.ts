'use client';

import { useEffect, useRef, useState } from 'react';
import type { Result } from '../../lib/base';
import type { Offer } from '../../lib/fills';
import type { Player, PlayerSetting, Song } from '../../lib/song';
import type { Space } from '../../lib/spaces';
import type { OffersAnswer, OffersQuestion } from '../workers/offers';

/** A stretch of time. */
export interface Stretch {
  readonly startTick: number;
  readonly endTick: number;
}

export interface OffersShown {
  readonly key: string;
  readonly offers: Result<readonly Offer[]> | null;
}

/** Offers for one space and one player, worked out beside the page; null while they are being worked out. */
export function useOffers(
  song: Song,
  space: Space | null,
  stretch: Stretch | null,
  player: Player | null,
  setting: PlayerSetting | null,
  count: number,
): Result<readonly Offer[]> | null {
  const worker = useRef<Worker | null>(null);
  const asks = useRef(0);
  const [shown, setShown] = useState<OffersShown>({ key: '', offers: null });
  const isWanted = space !== null && stretch !== null && player !== null && setting !== null;

  // Ends with the component; first among the effects, so that it starts anew where they all run twice.
  useEffect(
    () => () => {
      worker.current?.terminate();
      worker.current = null;
    },
    [],
  );

  useEffect(() => {
    if (!isWanted) return;
    worker.current ??= startWorker();
    const question: OffersQuestion = { kind: 'song', song };
    worker.current.postMessage(question);
  }, [song, isWanted]);

  const key = isWanted
    ? [
        space.id,
        stretch.startTick,
        stretch.endTick,
        player.id,
        player.rule,
        JSON.stringify(setting),
        count,
      ].join(' ')
    : '';
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key says all that the offers depend on, beside the song
  useEffect(() => {
    const current = worker.current;
    if (!isWanted || !current) return;
    asks.current += 1;
    const ask = asks.current;
    const hear = (event: MessageEvent<OffersAnswer>) => {
      if (event.data.ask === ask) setShown({ key, offers: event.data.offers });
    };
    current.addEventListener('message', hear);
    const question: OffersQuestion = {
      kind: 'offers',
      ask,
      spaceId: space.id,
      stretch,
      setup: {
        instrument: setting.instrument,
        tuning: setting.tuning,
        capo: setting.capo,
        fifthCapo: setting.fifthCapo,
      },
      rule: setting.rule ?? player.rule,
      spanMillimetres: player.spanMillimetres,
      comfortEighthsPerMinute: player.comfortEighthsPerMinute,
      count,
    };
    current.postMessage(question);
    return () => current.removeEventListener('message', hear);
  }, [key, song]);

  return shown.key === key ? shown.offers : null;
}

function startWorker(): Worker {
  return new Worker(new URL('../workers/offers.ts', import.meta.url), { type: 'module' });
}
