'use client';

import dynamic from 'next/dynamic';
import { useRef, useState } from 'react';
import type { BandEdits } from '../../../lib/document';
import type { Band, SetList } from '../../../lib/song';
import { untilItComes } from '../../hooks/untilItComes';
import { Button } from '../../ui/Button';
import { Passage } from '../../ui/Passage';

/** Loaded when it is asked for: it opens the songs' documents. */
const StandInPanel = dynamic(async () => (await untilItComes(() => import('./StandInPanel'))).StandInPanel);

/** On a set's page: somebody is away this evening, and all of theirs in its songs goes to another. */
export function StandIn(props: {
  readonly set: SetList;
  readonly band: Band;
  /** The player at this page; null: not said. */
  readonly by: string | null;
  /** Null while nothing can be written. */
  readonly edits: BandEdits | null;
  /** By the song's id. */
  readonly titleOf: (songId: string) => string;
}) {
  const [isOpen, setOpen] = useState(false);
  const opener = useRef<HTMLButtonElement>(null);
  if (props.set.entries.length === 0 || (props.edits === null && !isOpen)) return null;
  return (
    <Passage heading="Somebody is away">
      <Button ref={opener} shortcut="q" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
        Somebody else plays this evening
      </Button>
      {isOpen && (
        <StandInPanel
          {...props}
          onDone={() => {
            setOpen(false);
            opener.current?.focus();
          }}
        />
      )}
    </Passage>
  );
}
