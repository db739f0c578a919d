'use client';

import { useState } from 'react';
import type { InstrumentName } from '../../lib/instruments';
import type { ChordWay, Density, Paper, Part } from '../../lib/parts';
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

/** The part as a PDF, sheets for somebody who sits in or learns, and the song as a file for other programs. */
export function TakeAlong({
  bandId,
  songId,
  playerId,
  paper,
  chords,
  part,
  instruments,
}: {
  readonly bandId: string;
  readonly songId: string;
  readonly playerId: string;
  readonly paper: Paper;
  readonly chords: ChordWay;
  readonly part: Part;
  /** What somebody new may play. */
  readonly instruments: readonly InstrumentName[];
}) {
  const [density, setDensity] = useState<Density>('whole');
  const [leftOut, setLeftOut] = useState<LeftOut['byEnding'] | null>(null);
  const song = `/api/bands/${bandId}/songs/${songId}`;
  const asked = new URLSearchParams({ paper, density, chords });
  const opened = (isOpen: boolean) => {
    if (!isOpen || leftOut !== null) return;
    askLeftOut(`${song}/left-out`).then(setLeftOut, () => {});
  };
  return (
    <section aria-label="Take it along" className="take-along no-print">
      <a href={`${song}/parts/${playerId}.pdf?${asked}`} download>
        Take it along as a PDF
      </a>
      <Choice inRow label="With" value={density} options={HOW_MUCH} onChange={setDensity} />
      <details>
        <summary>For somebody who sits in</summary>
        <p>A crib on one page: key, capo, order, chords, how it starts and ends, where they play.</p>
        <ul className="flex flex-wrap gap-x-6">
          <li>
            <a href={`${song}/cribs/${playerId}.pdf?${new URLSearchParams({ paper })}`} download>
              in place of {part.head.player}
            </a>
          </li>
          {instruments.map((instrument) => (
            <li key={instrument}>
              <a href={`${song}/cribs/new.pdf?${new URLSearchParams({ paper, instrument })}`} download>
                new on {instrument}
              </a>
            </li>
          ))}
        </ul>
      </details>
      <Practice part={part} song={song} paper={paper} />
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

/** Each of the player's fills and breaks alone, for a student. */
function Practice({
  part,
  song,
  paper,
}: {
  readonly part: Part;
  readonly song: string;
  readonly paper: Paper;
}) {
  const fills = part.own.filter(({ standing }) => standing.notes.length > 0);
  if (fills.length === 0) return null;
  return (
    <details>
      <summary>For a student</summary>
      <p>
        One fill alone, plain first, with every stroke and finger and tempos to practise at. The sheet names
        nobody, and whoever has it comes no nearer to the band.
      </p>
      <ul>
        {fills.map(({ standing, space, cueBefore }) => (
          <li key={space.id}>
            <a href={`${song}/practice/${standing.answer.id}.pdf?${new URLSearchParams({ paper })}`} download>
              {space.kind === 'instrumental' ? 'the break' : 'the fill'} at bar {space.bar}
              {cueBefore !== '' && `, after “${cueBefore}”`}
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}

/** What each kind of file leaves out of the song. It only explains: where it cannot be had, the links stand without it. */
async function askLeftOut(path: string): Promise<LeftOut['byEnding']> {
  const response = await fetch(path);
  if (!response.ok) throw new Error(`${response.status}`);
  const answer: LeftOut = await response.json();
  return answer.byEnding;
}
