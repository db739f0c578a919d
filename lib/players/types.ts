import type { Reason } from '../base';

/** Whether one player could take a space, always with the reason. */
export interface Freedom {
  readonly playerId: string;
  readonly free: boolean;
  readonly reasons: readonly Reason[];
}
