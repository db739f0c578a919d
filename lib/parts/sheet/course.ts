import type { Band, Song } from '../../song';
import { tempoInSigns } from '../sentences';

/** Who starts: as the band said it, else who has the break that the song begins with; null: neither. */
export function starterInWords(song: Song, band: Band): string | null {
  const nameOf = (id: string | null) => band.players.find((one) => one.id === id)?.name ?? null;
  const said = nameOf(song.start.playerId);
  if (said !== null) return song.start.with === '' ? said : `${said}, ${song.start.with}`;
  if (song.start.with !== '') return song.start.with;
  const [first] = song.passes;
  if (first === undefined || first.stanza !== null) return null;
  const breaker = band.players.find(({ id }) => first.roles[id] === 'break');
  if (breaker === undefined) return null;
  return first.name === '' ? breaker.name : `${breaker.name}, ${uncapitalised(first.name)}`;
}

/** How it ends, as the band said it, else by the name of its last pass; null: neither. */
export function endingInWords(song: Song, band: Band): string | null {
  const { kind, signalBy, note } = song.ending;
  const signal = band.players.find((one) => one.id === signalBy)?.name;
  const said = [kind ?? '', signal === undefined ? '' : `on ${signal}’s signal`, note].filter(
    (text) => text !== '',
  );
  if (said.length > 0) return said.join(', ');
  const last = song.passes.at(-1);
  return last === undefined || last.name === '' ? null : uncapitalised(last.name);
}

const uncapitalised = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

/** Who counts and starts, and how the song ends: a sentence each, of what the band said. */
export function courseInWords(song: Song, band: Band): readonly string[] {
  return [...startInWords(song, band), ...endInWords(song, band)];
}

/** Who starts, who counts and how fast: a sentence each, of what the band said. */
export function startInWords(song: Song, band: Band): readonly string[] {
  const { counts, tempo, playerId, with: start } = song.start;
  const counter = band.players.find((one) => one.id === counts)?.name;
  const meter = song.sections[0]?.bars.find((bar) => !bar.pickup)?.meter;
  const sentences: string[] = [];
  const starter = starterInWords(song, band);
  if (starter !== null && (playerId !== null || start !== '')) sentences.push(closed(`Starts: ${starter}`));
  if (counter !== undefined || tempo !== null)
    sentences.push(
      closed(
        `Count-in${counter === undefined ? '' : `: ${counter}`}${tempo === null ? '' : ` at ${tempoInSigns(tempo, meter)}`}`,
      ),
    );
  return sentences;
}

/** How it ends: a sentence, of what the band said; none where it said nothing. */
export function endInWords(song: Song, band: Band): readonly string[] {
  const { kind, signalBy, note } = song.ending;
  const ends = endingInWords(song, band);
  if (ends === null || (kind === null && signalBy === null && note === '')) return [];
  return [closed(`Ends: ${ends}`)];
}

/** A sentence with its stop, which a name may bring along. */
const closed = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`);
