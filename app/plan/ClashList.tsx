'use client';

import type { ReactNode } from 'react';
import type { Arrangement } from '../../lib/parts';
import { passName } from '../../lib/parts';
import type { Clash } from '../../lib/plan';
import { Button } from '../ui/Button';
import { Passage } from '../ui/Passage';
import { clashKey } from './useDeciding';

/** What cannot be played or heard as settled, each with its mend; the first one's has a key. */
export function ClashList({
  clashes,
  arrangement,
  mend,
  questionAt,
  open,
}: {
  readonly clashes: readonly Clash[];
  readonly arrangement: Arrangement;
  /** Null: nothing can be written. */
  readonly mend: ((clash: Clash) => void) | null;
  /** The question that stands at a clash. */
  readonly questionAt: (at: string) => ReactNode;
  readonly open: (spaceId: string) => void;
}) {
  return (
    <Passage heading="Clashes">
      {clashes.length === 0 && <p className="aside">Nothing that is settled clashes.</p>}
      <ul>
        {clashes.map((clash, i) => {
          const pass = arrangement.song.passes.find(({ id }) => id === clash.place.passId);
          const where = `${pass ? `${passName(arrangement.song, pass)}, ` : ''}bar ${clash.bar}`;
          const { spaceId } = clash;
          return (
            <li key={clashKey(clash)} className="border-t border-faint py-1.5 first:border-t-0">
              <p className="pt-2">
                {where}: {clash.detail}.
              </p>
              <p className="flex flex-wrap gap-x-8">
                {mend && (
                  <Button
                    {...(i === 0 ? { shortcut: 'h' } : {})}
                    label={`${sentence(clash.mend.says)}: ${where}`}
                    onPress={() => mend(clash)}
                  >
                    {sentence(clash.mend.says)}
                  </Button>
                )}
                {spaceId !== null && (
                  <Button label={`Open the space: ${where}`} onPress={() => open(spaceId)}>
                    Open the space
                  </Button>
                )}
              </p>
              {questionAt(clashKey(clash))}
            </li>
          );
        })}
      </ul>
    </Passage>
  );
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
