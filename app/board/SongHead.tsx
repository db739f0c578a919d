'use client';

import dynamic from 'next/dynamic';
import { useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Arrangement, feelInWords, settingOf, shapesKey, tempoInSigns } from '../../lib/parts';
import { type Band, DEFAULT_TEMPO, type Player, type Song } from '../../lib/song';
import { keyName, transposeKey } from '../../lib/theory';
import { meterName } from '../../lib/time';
import type { Peer } from '../hooks/usePresence';
import type { DocumentStatus } from '../sync';
import { ActionLink, Button } from '../ui/Button';
import { Choice, Field } from '../ui/Field';
import { Present } from '../ui/Present';
import { Status } from '../ui/Status';
import { SELECT, SettingRow } from './SettingRow';
import { SungRange } from './SungRange';

/** Loaded when it is asked for. */
const AnotherKey = dynamic(() => import('./AnotherKey').then((module) => module.AnotherKey), { ssr: false });

interface HeadProps {
  readonly song: Song;
  readonly band: Band;
  readonly bandId: string;
  readonly me: Player | null;
  readonly edits: SongEdits | null;
  readonly status: DocumentStatus;
  readonly peers: readonly Peer[];
  readonly arrangement: Arrangement;
  readonly broken: readonly string[];
  /** What would be taken back next, in words; null: nothing. */
  readonly nextUndo: string | null;
}

/** The head of a board: what the song is and how it goes, who plays it how, who is here, and whether all is kept. */
export function SongHead(props: HeadProps) {
  const { song, band, bandId, me, edits, status, peers, arrangement } = props;
  const [isOpen, setOpen] = useState(false);
  const [inKey, setInKey] = useState(false);
  const parts = `/band/${bandId}/song/${song.id}/part`;
  const open = arrangement.spaces.filter((space) => !arrangement.bySpace.has(space.id)).length;
  return (
    <header className="board-head">
      <nav aria-label="Where you are" className="no-print flex flex-wrap items-center gap-x-4">
        <ActionLink href={`/band/${bandId}`} shortcut="u">
          {band.name}
        </ActionLink>
        <span className="grow" />
        <Present peers={peers} />
        <Status status={status} />
      </nav>
      <h1 className="board-title">{song.title}</h1>
      <p className="aside">{factsOf(song)}</p>
      <p className="aside">
        {settingsInWords(song, band)
          .map((text, i) => (i === 0 ? text : ` · ${text}`))
          .join('')}
      </p>
      <div className="no-print flex flex-wrap items-center gap-x-6">
        {edits && (
          <Button shortcut="s" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
            Tempo, feel and who plays what
          </Button>
        )}
        {edits && (
          <Button shortcut="k" expanded={inKey} onPress={() => setInKey(!inKey)}>
            In another key
          </Button>
        )}
        {edits && (
          <ActionLink href={`/band/${bandId}/song/${song.id}/tap`} shortcut="t">
            Tap the song in
          </ActionLink>
        )}
        {me && (
          <ActionLink href={`${parts}/${me.id}`} shortcut="p">
            Your part
          </ActionLink>
        )}
        {me && (
          <ActionLink href={`/band/${bandId}/song/${song.id}/stand/${me.id}`} shortcut="l">
            On the stand
          </ActionLink>
        )}
        {edits && (
          <Button shortcut="mod+z" onPress={() => edits.undo()} disabled={props.nextUndo === null}>
            {props.nextUndo === null ? 'Undo' : `Undo: ${props.nextUndo}`}
          </Button>
        )}
        <span className="aside">
          {open === 0
            ? 'Every space has its answer.'
            : `${open} of ${arrangement.spaces.length} spaces unclaimed.`}{' '}
          <span aria-hidden="true">↑ ↓ from space to space, Enter opens one.</span>
        </span>
      </div>
      <p className="no-print aside">
        Parts to print:{' '}
        {band.players.map((player, i) => (
          <span key={player.id}>
            {i > 0 && ' · '}
            <a
              className="inline-block py-2 underline decoration-edge underline-offset-4 hover:decoration-ink"
              href={`${parts}/${player.id}`}
            >
              {player.name}
            </a>
          </span>
        ))}
      </p>
      {props.broken.length > 0 && (
        <p role="status" className="aside">
          {props.broken.length === 1 ? 'One thing' : `${props.broken.length} things`} in this song could not
          be read and {props.broken.length === 1 ? 'is' : 'are'} left out here; nothing was deleted.
        </p>
      )}
      {arrangement.homeless.length > 0 && (
        <p role="status" className="aside">
          {arrangement.homeless.length === 1
            ? 'One answer hangs'
            : `${arrangement.homeless.length} answers hang`}{' '}
          on words or passes that are gone; {arrangement.homeless.length === 1 ? 'it is' : 'they are'} kept in
          the song.
        </p>
      )}
      <SungRange song={song} players={band.players} edits={edits} />
      {inKey && edits && <AnotherKey song={song} band={band} edits={edits} onDone={() => setInKey(false)} />}
      {isOpen && edits && <SettingsForm song={song} band={band} edits={edits} />}
    </header>
  );
}

function factsOf(song: Song): string {
  const meter = song.sections[0]?.bars.find((bar) => !bar.pickup)?.meter;
  const meters = [
    ...new Set(song.sections.flatMap((section) => section.bars.map((bar) => meterName(bar.meter)))),
  ];
  const tempo =
    song.tempo === null
      ? `no tempo said: counted at ${tempoInSigns(DEFAULT_TEMPO, meter)}`
      : tempoInSigns(song.tempo, meter);
  return `sounds in ${keyName(song.key)} · ${meters.slice(0, 3).join(', ')} · ${tempo}, ${feelInWords(song.feel.ratio)}`;
}

/** `guitar plays G with capo 2`, for those whose shapes are not the sounding ones. */
function settingsInWords(song: Song, band: Band): readonly string[] {
  return band.players.flatMap((player) => {
    const setting = settingOf(song, player);
    if (setting.capo === 0) return [];
    return [
      `${player.name}’s ${setting.instrument} plays ${keyName(shapesKey(song.key, setting.capo))} with capo ${setting.capo}`,
    ];
  });
}

function SettingsForm({
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
