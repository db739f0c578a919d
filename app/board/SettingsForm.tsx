'use client';

import { useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { settingOf } from '../../lib/parts';
import { type Band, DEFAULT_TEMPO, type Song } from '../../lib/song';
import { keyName, transposeKey } from '../../lib/theory';
import { Button } from '../ui/Button';
import { Choice, Field } from '../ui/Field';
import { SELECT, SettingRow } from './SettingRow';

/** What a song is called, how fast and how even it goes, in which key it sounds, and who plays what in it. */
export function SettingsForm({
  song,
  band,
  edits,
}: {
  readonly song: Song;
  readonly band: Band;
  readonly edits: SongEdits;
}) {
  const [title, setTitle] = useState(song.title);
  const [tempo, setTempo] = useState(String(song.tempo ?? DEFAULT_TEMPO));
  const [problem, setProblem] = useState<string | null>(null);
  const keep = () => {
    if (title.trim() !== '' && title !== song.title) edits.setTitle(title.trim());
    const asked = Number(tempo);
    if (asked === song.tempo) return setProblem(null);
    const done = edits.setTempo(Number.isFinite(asked) ? asked : 0);
    setProblem(done.ok ? null : `${done.error.what}: ${done.error.mend}`);
  };
  return (
    <section aria-label="Tempo, feel and who plays what" className="no-print border-y border-faint py-2 my-2">
      <form
        className="flex flex-wrap items-end gap-x-8"
        onSubmit={(event) => {
          event.preventDefault();
          keep();
        }}
      >
        <Field label="Title" value={title} onChange={setTitle} most={200} />
        <Field
          label="Quarter notes a minute"
          kind="number"
          value={tempo}
          onChange={setTempo}
          most={5}
          problem={problem}
        />
        <div className="my-4">
          <Button submit look="main">
            Keep
          </Button>
        </div>
        <label className="plain my-4 font-semibold">
          Sounds in
          <select
            className={`${SELECT} block font-normal`}
            value={0}
            onChange={(event) => edits.transpose(Number(event.target.value))}
          >
            {KEY_STEPS.map((step) => (
              <option key={step} value={step}>
                {keyName(transposeKey(song.key, step))}
                {step === 0 ? '' : `, ${step > 0 ? 'up' : 'down'} ${Math.abs(step)}`}
              </option>
            ))}
          </select>
        </label>
        <Choice
          label="Feel of the eighth notes"
          value={song.feel.ratio <= 1 ? 'even' : song.feel.ratio < 2 ? 'light' : 'swing'}
          options={[
            { value: 'even', text: 'even' },
            { value: 'light', text: 'light swing, 3 to 2' },
            { value: 'swing', text: 'swing, 2 to 1' },
          ]}
          onChange={(value) => edits.setFeel({ ratio: value === 'even' ? 1 : value === 'light' ? 1.5 : 2 })}
        />
      </form>
      <h2 className="italic">Who plays what in this song</h2>
      <ul>
        {band.players.map((player) => (
          <SettingRow key={player.id} player={player} setting={settingOf(song, player)} edits={edits} />
        ))}
      </ul>
    </section>
  );
}

/** Semitones to every other key: the nearer way. */
const KEY_STEPS = [-5, -4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6] as const;
