'use client';

import { useEffect, useMemo, useState } from 'react';
import { INSTRUMENTS, type InstrumentName } from '../../lib/instruments';
import {
  type Arrangement,
  arrange,
  type ChordWay,
  companyIn,
  hangOf,
  type Line,
  ledIn,
  microphoneCues,
  type Part,
  PRINT_WIDTH,
  PRINT_WORD_SIZE,
  partOf,
  passName,
  type RowCue,
  settingOf,
} from '../../lib/parts';
import type { SongPage } from '../../lib/protocol';
import type { Band, Player, Song } from '../../lib/song';
import { parseChord } from '../../lib/theory';
import { PRINT_BREAK_LINE, PRINT_LINE, PRINT_PLAIN_LINE } from '../board/geometry';
import type { Inks } from '../board/inks';
import { PassView } from '../board/PassView';
import { useBand } from '../hooks/useBand';
import { useSong } from '../hooks/useSong';
import { ActionLink, Button } from '../ui/Button';
import { Choice } from '../ui/Field';
import { LastTime } from '../ui/LastTime';
import { Status } from '../ui/Status';
import '../board/board.css';
import { Head, Order, Own } from './PartText';
import { TakeAlong } from './TakeAlong';
import './part.css';

type Paper = 'a4' | 'letter';
const CHORDS: readonly { readonly value: ChordWay; readonly text: string }[] = [
  { value: 'shapes', text: 'as shapes' },
  { value: 'sounded', text: 'as sounded' },
  { value: 'degrees', text: 'by number' },
];
const PAPERS: Readonly<Record<Paper, string>> = { a4: 'A4', letter: 'letter' };

/** One player's part of a song: as it will be on paper, with what is left out there above it. */
export function PartPage({
  songId,
  playerId,
  initial,
  printedOn,
}: {
  readonly songId: string;
  readonly playerId: string;
  readonly initial: SongPage;
  readonly printedOn: string;
}) {
  const bandId = initial.band.id;
  const { band } = useBand({ bandId, initial: initial.band, you: initial.you });
  const me = band.players.find((one) => one.id === initial.you.playerId) ?? null;
  const { song, status } = useSong({ bandId, songId, initial: initial.song, you: initial.you, me });
  const [paper, setPaper] = useState<Paper>('a4');
  const [chords, setChords] = useState<ChordWay>('shapes');
  const [isUnfolded, setUnfolded] = useState(false);
  const player = band.players.find((one) => one.id === playerId);
  const arrangement = useMemo(() => arrange(song, PRINT_WORD_SIZE, null), [song]);
  usePageRule(player ? pageRule(paper, band, song, player, printedOn) : '');
  if (!player) return null;
  const part = partOf(arrangement, band, player, chords);
  return (
    <>
      <nav aria-label="Where you are" className="part-tools no-print" data-unfolded={isUnfolded}>
        <ActionLink href={`/band/${bandId}/song/${songId}`} shortcut="u">
          {song.title}
        </ActionLink>
        <Choice
          inRow
          label="Paper"
          value={paper}
          options={[
            { value: 'a4', text: 'A4' },
            { value: 'letter', text: 'Letter' },
          ]}
          onChange={setPaper}
        />
        <Choice inRow label="Chords" value={chords} options={CHORDS} onChange={setChords} />
        <Button look="main" shortcut="p" onPress={() => window.print()}>
          Print
        </Button>
        <ActionLink href={`/band/${bandId}/song/${songId}/stand/${playerId}`} shortcut="o">
          On the stand
        </ActionLink>
        <span className="part-unfold">
          <Button shortcut="_" expanded={isUnfolded} onPress={() => setUnfolded(!isUnfolded)}>
            Paper, chords and files
          </Button>
        </span>
        <Status status={status} />
      </nav>
      <TakeAlong
        bandId={bandId}
        songId={songId}
        playerId={playerId}
        paper={paper}
        chords={chords}
        part={part}
        instruments={newTo(band, song)}
      />
      <main id="text" className={`part part-${paper}`}>
        <Head part={part} />
        <LastTime band={band} songId={songId} />
        <Order part={part} />
        <Own part={part} arrangement={arrangement} />
        <p className="part-care">
          Warm up, take breaks, stop when it hurts, and see a clinician if it stays. Loud rehearsals: 85 dBA
          is the recommended limit for 8 hours, half the time for every 3 dB more (NIOSH). Local rules come
          first.
        </p>
        <Passes arrangement={arrangement} band={band} song={song} player={player} part={part} />
      </main>
    </>
  );
}

/** What somebody new may play: the band's instruments, its own first, then the rest. */
function newTo(band: Band, song: Song): readonly InstrumentName[] {
  const own = band.players.map((one) => settingOf(song, one).instrument);
  return [...new Set([...own, ...INSTRUMENTS])].filter((one) => one !== 'voice');
}

/** A rule for the sheets that only this page's data can give; a style of its own, which the page's policy lets in. */
function usePageRule(rule: string): void {
  useEffect(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(rule);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet);
    };
  }, [rule]);
}

/** Margins, and a footer on every sheet: band and song, date of the version, page n of m. */
function pageRule(paper: Paper, band: Band, song: Song, player: Player, printedOn: string): string {
  const quote = (text: string) => `"${text.replace(/[\\"]/g, '\\$&').replace(/[\n\r<]/g, ' ')}"`;
  return `@page {
  size: ${PAPERS[paper]} portrait;
  margin: 13mm 13mm 16mm;
  @bottom-left { content: ${quote(`${band.name} · ${song.title} · ${player.name}`)}; font: 9pt sans-serif; }
  @bottom-center { content: ${quote(`as of ${printedOn}`)}; font: 9pt sans-serif; }
  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 9pt sans-serif; }
}`;
}

function Passes({
  arrangement,
  band,
  song,
  player,
  part,
}: {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly song: Song;
  readonly player: Player;
  readonly part: Part;
}) {
  const playerOf = (id: string): Inks | null => band.players.find((one) => one.id === id) ?? null;
  const instrumentOf = (id: string): InstrumentName => {
    const one = band.players.find((each) => each.id === id);
    return one ? settingOf(song, one).instrument : 'guitar';
  };
  const withNotes = {
    geometry: PRINT_LINE,
    pixelsPerTick: arrangement.pixelsPerTick,
    hang: hangOf(arrangement.passes, arrangement.pixelsPerTick, PRINT_WORD_SIZE),
    without: PRINT_PLAIN_LINE,
  };
  const plain = {
    geometry: PRINT_PLAIN_LINE,
    pixelsPerTick: arrangement.sheetPixelsPerTick,
    hang: hangOf(arrangement.passes, arrangement.sheetPixelsPerTick, PRINT_WORD_SIZE),
    without: PRINT_PLAIN_LINE,
  };
  const ownSpaces = new Set(
    part.own.filter((own) => own.standing.notes.length > 0).map((own) => own.space.id),
  );
  const hasOwn = (line: Line) =>
    line.segments.some((segment) => segment.spaces.some((one) => ownSpaces.has(one.space.id)));
  const moves = microphoneCues(arrangement, band, player);
  const cuesOf = (line: Line | undefined) =>
    moves.filter(({ tick }) => line !== undefined && tick >= line.startTick && tick < line.endTick);
  return (
    <>
      {arrangement.passes.map((pass) => {
        const played = song.passes.find((one) => one.id === pass.passId);
        const lines = ledIn(arrangement, pass, player.id);
        return (
          <PassView
            key={pass.passId ?? pass.sectionId}
            pass={{ ...pass, lines }}
            name={played ? passName(song, played) : ''}
            margin={played && <p className="aside">{asideOf(part, played.id)}</p>}
            detail={(key) => <Moves cues={cuesOf(lines.find((line) => line.key === key))} />}
            {...withNotes}
            sheetWidth={PRINT_WIDTH}
            lookOf={(line) =>
              hasOwn(line)
                ? withNotes
                : played?.stanza === null
                  ? { ...plain, geometry: PRINT_BREAK_LINE, without: PRINT_BREAK_LINE }
                  : plain
            }
            bySpace={arrangement.bySpace}
            playerOf={playerOf}
            breakOf={(passId) => {
              const one = song.passes.find((each) => each.id === passId);
              return band.players.find((each) => one?.roles[each.id] === 'break') ?? null;
            }}
            instrumentOf={instrumentOf}
            songKey={song.key}
            chordName={part.chordName}
            isReadable={(symbol) => parseChord(symbol) !== null || /^n\.?\s*c\.?$/i.test(symbol)}
            onlyPlayer={player.id}
            barNumbers
            spaces={null}
            troubleOf={(id) => arrangement.bySpace.get(id)?.misfit ?? null}
          />
        );
      })}
    </>
  );
}

/** When the player comes in to the one microphone and goes out from it, beneath the line in which it is. */
function Moves({ cues }: { readonly cues: readonly RowCue[] }) {
  if (cues.length === 0) return null;
  return <p className="aside">{cues.map(({ at, text }) => `${at}: ${text}`).join(' · ')}</p>;
}

/** What the player does in a pass, and who else is to be heard. */
function asideOf(part: Part, passId: string): string {
  const row = part.order.find((one) => one.passId === passId);
  if (row === undefined) return '';
  const aside = [row.role, companyIn(row)].filter((text) => text !== '').join('. ');
  return aside.charAt(0).toUpperCase() + aside.slice(1);
}
