import { join } from 'node:path';
import { ok, type Result } from '../../lib/base';
import type { SongRead } from '../../lib/exchange';
import type { Paper } from '../../lib/parts';
import {
  type Band,
  microphoneSettings,
  NEW_BAND,
  type PlayersFile,
  playersOf,
  roadmapTimeline,
} from '../../lib/song';
import { findSpaces } from '../../lib/spaces';
import { fileNameOf, freeName, printPart } from '../print';
import type { Told } from './output';
import { asPlayed, settledIn } from './plan';
import { writeWhole } from './write-whole';

interface PartsOptions {
  readonly out: string;
  readonly paper: Paper;
}

/** `parts`: one PDF for each player, with what is settled. Each file is there whole or not at all. */
export async function tellParts(
  file: string,
  read: SongRead,
  playersFile: PlayersFile,
  { out, paper }: PartsOptions,
): Promise<Result<Told>> {
  const players = playersOf(playersFile);
  const bare = asPlayed(read.song, playersFile, players);
  const timeline = roadmapTimeline(bare);
  const settled = settledIn(playersFile, timeline, findSpaces(timeline), players);
  if (!settled.ok) return settled;
  const song = { ...bare, settled: settled.value };
  const band: Band = {
    ...{ id: 'band', name: 'The band', players, songs: [], sets: [] },
    ...NEW_BAND,
    ...microphoneSettings(playersFile),
  };
  const madeAt = new Date();
  const asOf = madeAt.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
  const parts: { player: string; file: string; pages: number }[] = [];
  const missing = new Set<string>();
  const taken = new Set<string>();
  for (const player of players) {
    const pdf = await printPart({ band, song, player, paper, madeAt, asOf });
    const to = join(out, freeName(taken, fileNameOf(song.title, player.name), 'pdf'));
    const written = await writeWhole('the part', to, pdf.bytes, { makeFolder: true });
    if (!written.ok) return written;
    parts.push({ player: player.id, file: to, pages: pdf.pages });
    for (const sign of pdf.missing) missing.add(sign);
  }
  const warnings =
    missing.size === 0
      ? []
      : [`no font here has the signs ${[...missing].join(' ')}: question marks stand for them`];
  return ok({
    answer: { file, title: song.title, parts, warnings },
    text: [
      `${song.title} (${file})`,
      ...parts.map((part) => `  ${part.file}, ${part.pages} ${part.pages === 1 ? 'page' : 'pages'}`),
      ...warnings.map((warning) => `  ${warning}`),
    ].join('\n'),
  });
}
