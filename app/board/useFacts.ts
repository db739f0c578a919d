'use client';

import { useCallback, useMemo } from 'react';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, settingOf } from '../../lib/parts';
import type { FreedomContext } from '../../lib/players';
import { type Band, microphoneOf } from '../../lib/song';
import type { Peer } from '../sync';
import { peersBySpace, troublesOf } from './facts';
import type { Inks } from './inks';
import type { SpaceActions } from './look';
import { labelsOf, putAt } from './words';

/** What the lines of a board ask of the song, its band and who else has it open. */
export interface Facts {
  readonly context: FreedomContext;
  readonly playerOf: (id: string) => Inks | null;
  /** Who has the break of a pass. */
  readonly breakOf: (passId: string) => Inks | null;
  readonly instrumentOf: (playerId: string) => InstrumentName;
  /** Why what stands in a space no longer fits; null: it does. */
  readonly troubleOf: (spaceId: string) => string | null;
  /** Who of the others touches a space. */
  readonly peersAt: (spaceId: string) => readonly Inks[];
  /** For lines in which no space is open: it stays the same while one goes from space to space elsewhere. */
  readonly closed: SpaceActions;
  /** For those in which the open one lies. */
  readonly opened: SpaceActions;
}

const NOBODY: readonly Inks[] = [];

/** Each stays the same from one look to the next while nothing that it tells of has changed. */
export function useFacts(
  arrangement: Arrangement,
  band: Band,
  peers: readonly Peer[],
  openId: string | null,
  press: (spaceId: string) => void,
): Facts {
  const { song } = arrangement;
  const { players, oneMicrophone, microphoneInSeconds, microphoneOutSeconds, microphonePlaces } = band;
  const microphone = useMemo(
    () =>
      microphoneOf({ players, oneMicrophone, microphoneInSeconds, microphoneOutSeconds, microphonePlaces }),
    [players, oneMicrophone, microphoneInSeconds, microphoneOutSeconds, microphonePlaces],
  );
  const context: FreedomContext = useMemo(
    () => ({
      timeline: arrangement.timeline,
      players,
      spaces: arrangement.spaces,
      settled: song.settled,
      microphone,
    }),
    [arrangement, players, song.settled, microphone],
  );
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
  const troubles = useMemo(() => troublesOf(arrangement, context), [arrangement, context]);
  const troubleOf = useCallback((id: string) => troubles.get(id) ?? null, [troubles]);
  const labels = useMemo(() => labelsOf(arrangement, playerOf), [arrangement, playerOf]);
  const put = useMemo(
    () => new Set(arrangement.spaces.filter((one) => putAt(arrangement, one) > 0).map(({ id }) => id)),
    [arrangement],
  );
  const touches = useMemo(() => peersBySpace(arrangement.spaces, peers), [arrangement, peers]);
  const peersAt = useCallback((id: string) => touches.get(id) ?? NOBODY, [touches]);
  const closed: SpaceActions = useMemo(
    () => ({
      openId: null,
      press,
      peersAt,
      labelOf: (id: string) => labels.get(id) ?? '',
      isPut: (id: string) => put.has(id),
    }),
    [press, peersAt, labels, put],
  );
  const opened = useMemo(() => (openId === null ? closed : { ...closed, openId }), [closed, openId]);
  return { context, playerOf, breakOf, instrumentOf, troubleOf, peersAt, closed, opened };
}
