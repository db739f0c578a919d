'use client';

import type { Band } from '../../../lib/song';
import type { EveningNote } from './note';
import { boardPath, partPath, standPath } from './wanted';
import { WORDS } from './words';

const LINK =
  'plain inline-flex min-h-(--touch) items-center underline decoration-edge underline-offset-4 hover:decoration-ink';

/** Every page of an evening that is on the device, song by song: one touch from the set list to the stand. */
export function InTheCase({
  band,
  note,
  nameOf,
}: {
  readonly band: Band;
  readonly note: EveningNote;
  readonly nameOf: (playerId: string) => string;
}) {
  return (
    <details>
      <summary className="py-2.5">{WORDS.openFrom}</summary>
      <ol className="mb-4">
        {note.songs.map(({ id, title }) => (
          <li key={id}>
            <span className="font-semibold">{title}</span>
            <ul className="flex flex-wrap gap-x-6">
              <li>
                <a className={LINK} href={boardPath(band.id, id)} aria-label={`${title}: ${WORDS.board}`}>
                  {WORDS.board}
                </a>
              </li>
              {note.playerIds.flatMap((playerId) => [
                <li key={`${playerId} stand`}>
                  <a
                    className={LINK}
                    href={standPath(band.id, id, playerId)}
                    aria-label={`${title}: ${nameOf(playerId)} on the stand`}
                  >
                    {nameOf(playerId)} on the stand
                  </a>
                </li>,
                <li key={`${playerId} part`}>
                  <a
                    className={LINK}
                    href={partPath(band.id, id, playerId)}
                    aria-label={`${title}: ${nameOf(playerId)}’s part`}
                  >
                    {nameOf(playerId)}’s part
                  </a>
                </li>,
              ])}
            </ul>
          </li>
        ))}
      </ol>
    </details>
  );
}
