import { strToU8, zipSync } from 'fflate';
import { fail, ok, type Result } from '../../base';
import { type Player, type Song, type Timeline, writtenTimeline } from '../../song';
import { BAND_FILE_ENDING, writeBandFile } from '../band-file';
import { writeAbc } from './abc';
import { writeMidi } from './midi';
import { type Written, writeMusicXml } from './musicxml';
import { hasFills, type Playing, playOut, type Shown } from './playing';
import { settledInWords, talkInWords } from './said-in-words';
import { writeText } from './text';
import { element } from './xml';

const utf8 = ({ content, leftOut }: Written): Written<Uint8Array> => ({ content: strToU8(content), leftOut });

/** A song to be written, and the band's players, for the names of those who play in it. */
interface Writing {
  readonly song: Song;
  readonly players: readonly Player[];
}

/**
 * Formats in which each player has a part: the roadmap is played out where fills hang on its passes. What is to be heard has the band's
 * backup too; a score has what was settled, since backup is played from its chords.
 */
const withPlayers =
  <C>(write: (timeline: Timeline, players: readonly Playing[]) => Written<C>, shown: Shown) =>
  ({ song, players }: Writing): Written<C> => {
    const hasBackup = shown === 'settled and backup' && players.length > 0;
    if (!hasFills(song) && !hasBackup) return told(song, write(writtenTimeline(song), []));
    const played = playOut(song, players, shown);
    const written = write(played.arrangement.timeline, played.players);
    return told(song, {
      content: written.content,
      leftOut: [
        'the song as written once with repeats: its passes are played out one after another, since fills hang on them',
        ...written.leftOut,
        ...played.leftOut,
      ],
    });
  };

/** Formats of a tune with its words: what players were given has no place there. */
const tuneAlone =
  <C>(write: (timeline: Timeline) => Written<C>) =>
  ({ song }: Writing): Written<C> => {
    const { content, leftOut } = write(writtenTimeline(song));
    return told(song, { content, leftOut: [...leftOut, ...settledInWords(song)] });
  };

const told = <C>(song: Song, { content, leftOut }: Written<C>): Written<C> => ({
  content,
  leftOut: [...leftOut, ...talkInWords(song)],
});

const score = withPlayers(writeMusicXml, 'settled');
const heard = withPlayers(writeMidi, 'settled and backup');
const WRITERS: Readonly<Record<string, (writing: Writing) => Written<Uint8Array>>> = {
  '.abc': (writing) => utf8(tuneAlone(writeAbc)(writing)),
  '.musicxml': (writing) => utf8(score(writing)),
  '.xml': (writing) => utf8(score(writing)),
  '.mxl': (writing) => packed(score(writing)),
  '.mid': heard,
  '.midi': heard,
  '.txt': (writing) => utf8(tuneAlone(writeText)(writing)),
  [BAND_FILE_ENDING]: ({ song }) =>
    utf8({ content: writeBandFile({ band: null, songs: [song] }), leftOut: [] }),
};

/** Endings of files that a song can be written to. */
export const WRITE_ENDINGS: readonly string[] = Object.keys(WRITERS);

/**
 * Writes a song in the format that the name's ending asks for: as written (each part once, repeats as signs), and played out, with a
 * part for each player, where fills were settled and the format has room for them.
 */
export function writeSongFile(
  name: string,
  song: Song,
  players: readonly Player[] = [],
): Result<Written<Uint8Array>> {
  const lower = name.toLowerCase();
  const ending = WRITE_ENDINGS.find((each) => lower.endsWith(each));
  const writer = ending === undefined ? undefined : WRITERS[ending];
  if (writer === undefined)
    return fail(
      'no format is known by this ending',
      name,
      `these endings are written: ${WRITE_ENDINGS.join(', ')}`,
    );
  if (song.sections.every(({ bars }) => bars.length === 0))
    return fail(
      'the song has no bars, so that there is nothing to write',
      name,
      'write at least one bar first',
    );
  return ok(writer({ song, players }));
}

/** A score packed as MusicXML 4.0 describes it: a zip archive whose container names the score. */
function packed({ content, leftOut }: Written): Written<Uint8Array> {
  const rootFile = element('rootfile', { 'full-path': 'score.musicxml' });
  const container = `<?xml version="1.0" encoding="UTF-8"?>\n${element('container', {}, element('rootfiles', {}, rootFile))}\n`;
  // One fixed date, so that the same song gives the same bytes.
  const mtime = new Date(1980, 0, 2);
  return {
    content: zipSync(
      { 'META-INF/container.xml': strToU8(container), 'score.musicxml': strToU8(content) },
      { mtime },
    ),
    leftOut,
  };
}
