'use client';

import { useEffect, useRef } from 'react';
import type { BandPage } from '../../lib/protocol';
import type { Band } from '../../lib/song';
import { useBand } from '../hooks/useBand';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import { Passage } from '../ui/Passage';
import { BandFileChoice } from './BandFileChoice';
import { BroughtIn } from './BroughtIn';
import { useBandFile } from './useBandFile';
import { useBringing } from './useBringing';

/** Brings a band file into a band that is there already: its songs, each as a song of its own, and set lists. */
export function FromBandFile({
  file,
  initial,
  you,
  forget,
}: {
  readonly file: File;
  /** The band as the page first got it. */
  readonly initial: Band;
  readonly you: BandPage['you'];
  readonly forget: () => void;
}) {
  const { band, edits } = useBand({ bandId: initial.id, initial, you });
  const { is, stop } = useBandFile(file);
  const bringing = useBringing(band.id, band, edits);
  const root = useRef<HTMLDivElement>(null);
  const isBegun = bringing.now !== null;
  const isDone = bringing.now?.state === 'done';
  // The keys go to what there is to do now.
  // biome-ignore lint/correctness/useExhaustiveDependencies: each time that something else stands here
  useEffect(() => root.current?.focus(), [is.state, isBegun, isDone]);

  const bandName = is.state === 'read' ? is.read.bandName : '';
  return (
    <div ref={root} tabIndex={-1} className="outline-none">
      <Passage heading={bandName === '' ? 'From the band file' : `From “${bandName}”`}>
        {is.state === 'reading' && (
          <div className="my-4 flex flex-wrap items-center gap-x-6">
            <p role="status">Reading {file.name} …</p>
            <progress aria-label="Reading" />
            <Button shortcut="Escape" onPress={stop}>
              Stop
            </Button>
          </div>
        )}
        {is.state === 'failed' && <ProblemNotice problem={is.problem} kept="nothing was brought in" />}
        {is.state === 'stopped' && <p role="status">Stopped. Nothing was brought in.</p>}
        {(is.state === 'failed' || is.state === 'stopped') && (
          <Button shortcut="x" onPress={forget}>
            Begin again
          </Button>
        )}
        {is.state === 'read' && bringing.now === null && (
          <BandFileChoice read={is.read} band={band} bringIn={bringing.begin} forget={forget} />
        )}
        {bringing.now && (
          <BroughtIn
            bandId={band.id}
            now={bringing.now}
            goOn={() => void bringing.goOn()}
            stop={bringing.stop}
            leaveOut={bringing.leaveOut}
            forget={forget}
          />
        )}
      </Passage>
    </div>
  );
}
