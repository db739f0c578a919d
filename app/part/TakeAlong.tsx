'use client';

import { useState } from 'react';
import type { Density, Paper } from '../../lib/parts';
import type { LeftOut } from '../../lib/protocol';
import { Choice } from '../ui/Field';

/** Endings of the files that a song can be taken out as, and what people call them. */
const FILES = [
  ['musicxml', 'MusicXML'],
  ['mxl', 'MusicXML, packed'],
  ['mid', 'MIDI'],
  ['abc', 'ABC'],
  ['txt', 'plain text'],
  ['breathmark.json', 'band file'],
] as const;

const HOW_MUCH: readonly { readonly value: Density; readonly text: string }[] = [
  { value: 'whole', text: 'the whole song' },
  { value: 'cues', text: 'my spaces and their cues' },
  { value: 'one page', text: 'one page' },
];

/** The part as a PDF, and the song as a file for other programs. */
export function TakeAlong({
  bandId,
  songId,
  playerId,
  paper,
}: {
  readonly bandId: string;
  readonly songId: string;
  readonly playerId: string;
  readonly paper: Paper;
}) {
  const [density, setDensity] = useState<Density>('whole');
  const [leftOut, setLeftOut] = useState<LeftOut['byEnding'] | null>(null);
  const song = `/api/bands/${bandId}/songs/${songId}`;
  const part = `${song}/parts/${playerId}.pdf?${new URLSearchParams({ paper, density })}`;
  const opened = (isOpen: boolean) => {
    if (!isOpen || leftOut !== null) return;
    askLeftOut(`${song}/left-out`).then(setLeftOut, () => {});
  };
  return (
    <section aria-label="Take it along" className="take-along no-print">
      <a href={part} download>
        Take it along as a PDF
      </a>
      <Choice label="With" value={density} options={HOW_MUCH} onChange={setDensity} />
      <details onToggle={(event) => opened(event.currentTarget.open)}>
        <summary>Take the song out as a file</summary>
        <ul>
          {FILES.map(([ending, name]) => (
            <li key={ending}>
              <a href={`${song}/file.${ending}`} download>
                {name}
              </a>
              {leftOut?.[ending]?.length === 0 && <span>: holds all of it</span>}
              {leftOut?.[ending]?.map((sentence) => (
                <p key={sentence}>{sentence}</p>
              ))}
            </li>
          ))}
        </ul>
      </details>
    </section>
  );
}

/** What each kind of file leaves out of the song. It only explains: where it cannot be had, the links stand without it. */
async function askLeftOut(path: string): Promise<LeftOut['byEnding']> {
  const response = await fetch(path);
  if (!response.ok) throw new Error(`${response.status}`);
  const answer: LeftOut = await response.json();
  return answer.byEnding;
}
