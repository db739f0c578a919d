/** The other way: from song values to files. What a format cannot hold is told in a sentence each, never dropped in silence. */
export { writeAbc } from './abc';
export { writeMidi } from './midi';
export { type Written, writeMusicXml } from './musicxml';
export { writeText } from './text';
export { WRITE_ENDINGS, writeSongFile } from './write-file';
