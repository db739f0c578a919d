import type { Result } from '../../lib/base';
import type { ReadReport } from '../../lib/exchange';
import type { Song } from '../../lib/song';

export interface ReadRequest {
  readonly text: string;
}

export type ReadAnswer = Result<{ readonly song: Song; readonly report: ReadReport }>;
