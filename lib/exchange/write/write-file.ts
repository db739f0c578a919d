import { strToU8, zipSync } from 'fflate';
import { fail, ok, type Result } from '../../base';
import { type Song, type Timeline, writtenTimeline } from '../../song';
import { BAND_FILE_ENDING, writeBandFile } from '../band-file';
import { writeAbc } from './abc';
import { writeMidi } from './midi';
import { type Written, writeMusicXml } from './musicxml';
import { writeText } from './text';
import { element } from './xml';

const utf8 = ({ content, leftOut }: Written): Written<Uint8Array> => ({ content: strToU8(content), leftOut });

const WRITERS: Readonly<Record<string, (timeline: Timeline) => Written<Uint8Array>>> = {
  '.abc': (timeline) => utf8(writeAbc(timeline)),
  '.musicxml': (timeline) => utf8(writeMusicXml(timeline)),
  '.xml': (timeline) => utf8(writeMusicXml(timeline)),
  '.mxl': (timeline) => packed(writeMusicXml(timeline)),
  '.mid': (timeline) => writeMidi(timeline),
  '.midi': (timeline) => writeMidi(timeline),
  '.txt': (timeline) => utf8(writeText(timeline)),
  [BAND_FILE_ENDING]: ({ song }) =>
    utf8({ content: writeBandFile({ band: null, songs: [song] }), leftOut: [] }),
};

/** Endings of files that a song can be written to. */
export const WRITE_ENDINGS: readonly string[] = Object.keys(WRITERS);

/** Writes a song, as written (each part once, repeats as signs), in the format that the name's ending asks for. */
export function writeSongFile(name: string, song: Song): Result<Written<Uint8Array>> {
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
  return ok(writer(writtenTimeline(song)));
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
