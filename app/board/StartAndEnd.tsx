'use client';

import dynamic from 'next/dynamic';
import { memo, type ReactNode, useId, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { endInWords, startInWords } from '../../lib/parts';
import type { Band, Song } from '../../lib/song';
import { untilItComes } from '../hooks/untilItComes';
import { Button } from '../ui/Button';

/** Loaded when they are asked for. */
const StartForm = dynamic(async () => (await untilItComes(() => import('./StartAndEndForms'))).StartForm);
const EndForm = dynamic(async () => (await untilItComes(() => import('./StartAndEndForms'))).EndForm);

interface Props {
  readonly song: Song;
  readonly band: Band;
  readonly edits: SongEdits | null;
}

/** Before the first pass: who starts, with what, who counts, and how fast. */
export const StartLine = memo(function StartLine({ song, band, edits }: Props) {
  const said = startInWords(song, band);
  return (
    <Course
      name="Start"
      said={said.length > 0 ? said.join(' ') : 'Nobody has said yet who starts.'}
      action="who starts"
      shortcut="b"
      mayEdit={edits !== null}
    >
      <StartForm song={song} band={band} edits={edits} />
    </Course>
  );
});

/** After the last pass: how it ends, and on whose signal. */
export const EndLine = memo(function EndLine({ song, band, edits }: Props) {
  const said = endInWords(song, band);
  return (
    <Course
      name="End"
      said={said.length > 0 ? said.join(' ') : 'Nobody has said yet how it ends.'}
      action="how it ends"
      shortcut="e"
      mayEdit={edits !== null}
    >
      <EndForm song={song} band={band} edits={edits} />
    </Course>
  );
});

/** A line of the order that is no pass: what is said, and beneath it, when asked for, where it is said. */
function Course({
  name,
  said,
  action,
  shortcut,
  mayEdit,
  children,
}: {
  readonly name: string;
  readonly said: string;
  readonly action: string;
  readonly shortcut: string;
  readonly mayEdit: boolean;
  readonly children: ReactNode;
}) {
  const [isOpen, setOpen] = useState(false);
  const id = useId();
  return (
    <section className="pass course" aria-labelledby={id}>
      <div className="pass-margin">
        <h2 id={id} className="pass-name">
          {name}
        </h2>
      </div>
      <div>
        <div className="flex flex-wrap items-center gap-x-6">
          <p>{said}</p>
          {mayEdit && (
            <span className="no-print">
              <Button shortcut={shortcut} expanded={isOpen} onPress={() => setOpen(!isOpen)}>
                {isOpen ? 'Done' : `Say ${action}`}
              </Button>
            </span>
          )}
        </div>
        {isOpen && mayEdit && (
          <div className="no-print flex flex-wrap items-start gap-x-8 pt-2">{children}</div>
        )}
      </div>
    </section>
  );
}
