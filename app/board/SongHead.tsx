'use client';

import dynamic from 'next/dynamic';
import { memo, useRef, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import { type Arrangement, feelInWords, settingOf, shapesKey, tempoInSigns } from '../../lib/parts';
import { type Band, DEFAULT_TEMPO, type Player, type Song } from '../../lib/song';
import { keyName } from '../../lib/theory';
import { meterName } from '../../lib/time';
import { untilItComes } from '../hooks/untilItComes';
import type { DocumentStatus, Peer } from '../sync';
import { ActionLink, Button } from '../ui/Button';
import { LastTime } from '../ui/LastTime';
import { Present } from '../ui/Present';
import { Status } from '../ui/Status';
import { voicesWithoutTune } from './voices';

/** Loaded when they are asked for. */
const AnotherKey = dynamic(async () => (await untilItComes(() => import('./AnotherKey'))).AnotherKey, {
  ssr: false,
});
const SomebodyElse = dynamic(async () => (await untilItComes(() => import('./SomebodyElse'))).SomebodyElse, {
  ssr: false,
});
const SettingsForm = dynamic(async () => (await untilItComes(() => import('./SettingsForm'))).SettingsForm);
/** Comes with the page, where a tune is not written. */
const SungRange = dynamic(async () => (await untilItComes(() => import('./SungRange'))).SungRange);

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
export const SongHead = memo(function SongHead(props: HeadProps) {
  const { song, band, bandId, me, edits, status, peers, arrangement } = props;
  const [isOpen, setOpen] = useState(false);
  const [isUnfolded, setUnfolded] = useState(false);
  const [inKey, setInKey] = useState(false);
  const [isHanding, setHanding] = useState(false);
  const [handed, setHanded] = useState('');
  const hander = useRef<HTMLButtonElement>(null);
  // Where a key opened it, what it stands by is there to go back to.
  const toggle = (isNow: boolean, set: (isOpen: boolean) => void) => () => {
    set(!isNow);
    setUnfolded(true);
  };
  const parts = `/band/${bandId}/song/${song.id}/part`;
  const settings = settingsInWords(song, band);
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
      {settings.length > 0 && <p className="aside">{settings.join(' · ')}</p>}
      <LastTime band={band} songId={song.id} />
      <div className="no-print flex flex-wrap items-center gap-x-6" data-unfolded={isUnfolded}>
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
        <span className="head-unfold">
          <Button shortcut="_" expanded={isUnfolded} onPress={() => setUnfolded(!isUnfolded)}>
            {isUnfolded ? 'Less' : 'More'}
          </Button>
        </span>
        {edits && (
          <span className="head-more">
            <Button shortcut="s" expanded={isOpen} onPress={toggle(isOpen, setOpen)}>
              Tempo, feel and who plays what
            </Button>
            <Button shortcut="k" expanded={inKey} onPress={toggle(inKey, setInKey)}>
              In another key
            </Button>
            <Button ref={hander} shortcut="q" expanded={isHanding} onPress={toggle(isHanding, setHanding)}>
              Somebody else plays it
            </Button>
            <ActionLink href={`/band/${bandId}/song/${song.id}/tap`} shortcut="t">
              Tap the song in
            </ActionLink>
          </span>
        )}
        {edits && (
          <Button shortcut="mod+z" onPress={() => edits.undo()} disabled={props.nextUndo === null}>
            {props.nextUndo === null ? 'Undo' : `Undo: ${props.nextUndo}`}
          </Button>
        )}
        <span className="aside">
          {spacesInWords(song, arrangement)}{' '}
          {arrangement.spaces.length > 0 && (
            <span aria-hidden="true" className="for-keys">
              ↑ ↓ from space to space, Enter opens one, w the words of the line in sight.
            </span>
          )}
        </span>
        <p className="head-more aside">
          Parts to print:
          {band.players.map((player) => (
            <a
              key={player.id}
              className="inline-flex min-h-(--touch) items-center underline decoration-edge underline-offset-4 hover:decoration-ink"
              href={`${parts}/${player.id}`}
            >
              {player.name}
            </a>
          ))}
        </p>
      </div>
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
      {voicesWithoutTune(song).length > 0 && <SungRange song={song} players={band.players} edits={edits} />}
      {inKey && edits && <AnotherKey song={song} band={band} edits={edits} onDone={() => setInKey(false)} />}
      {isHanding && edits && (
        <SomebodyElse
          song={song}
          band={band}
          you={me?.id ?? null}
          edits={edits}
          onDone={(said) => {
            setHanding(false);
            setHanded(said);
            hander.current?.focus();
          }}
        />
      )}
      <p role="status" className="no-print aside empty:hidden">
        {props.nextUndo === 'a substitute' && handed}
      </p>
      {isOpen && edits && <SettingsForm song={song} band={band} edits={edits} />}
    </header>
  );
});

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

/** How many spaces wait for an answer; where there is none at all, what would show them. */
function spacesInWords(song: Song, { spaces, bySpace }: Arrangement): string {
  const open = spaces.filter((space) => !bySpace.has(space.id)).length;
  if (open > 0) return `${open} of ${spaces.length} spaces unclaimed.`;
  if (spaces.length > 0) return 'Every space has its answer.';
  return voicesWithoutTune(song).length > 0
    ? 'No spaces yet: where the singer breathes is not written. Tap the song in, and they show.'
    : 'The singer leaves no space of a beat or more.';
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
