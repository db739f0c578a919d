import { fail, ok, type Reason, type Result } from '../../lib/base';
import { readBandFile, type SongRead } from '../../lib/exchange';
import { type Freedom, whoIsFree } from '../../lib/players';
import {
  type FillNote,
  microphoneOf,
  microphoneSettings,
  type PlayersFile,
  playersFileSchema,
  playersOf,
  type Answer as Settled,
  writtenTimeline,
} from '../../lib/song';
import { findSpaces, type Space, tickOfPlace } from '../../lib/spaces';
import { readText } from './inputs';
import { type Answer, plain, rounded, type Told } from './output';
import { problemOf } from './problems';

/** Reads PLAYERS.json, or a band file: its players, the share left open, and how they move around one microphone. */
export async function readPlayers(file: string): Promise<Result<PlayersFile>> {
  const text = await readText(file);
  if (!text.ok) return text;
  let value: unknown;
  try {
    value = JSON.parse(text.value);
  } catch (error) {
    const where = error instanceof Error ? error.message : file;
    return fail('the players file is not JSON', `${file}: ${where}`, 'mend it there; --help shows its shape');
  }
  if (isBandFile(value)) {
    const bandFile = readBandFile(text.value);
    if (!bandFile.ok) return bandFile;
    const { band } = bandFile.value;
    if (band === null) return fail('the band file holds songs alone', file, 'export the whole band');
    value = { players: band.players, openShare: band.openShare, oneMicrophone: microphoneOf(band) };
  }
  const read = playersFileSchema.safeParse(value);
  return read.success ? ok(read.data) : { ok: false, error: problemOf(read.error, file) };
}

const isBandFile = (value: unknown): boolean =>
  typeof value === 'object' && value !== null && 'band' in value && 'songs' in value;

/** `free`: for each space of the song as written, who could take it and who not, with the reasons. */
export function tellFree(file: string, read: SongRead, playersFile: PlayersFile): Result<Told> {
  const timeline = writtenTimeline(read.song);
  const spaces = findSpaces(timeline);
  const players = playersOf(playersFile);
  const settled: Settled[] = [];
  for (const [i, entry] of playersFile.settled.entries()) {
    const space = spaces.find((each) => each.id === entry.space);
    if (!space) {
      const mend = "take the ids from 'spaces' for this very file";
      return fail(`there is no space '${entry.space}'`, `settled, entry ${i + 1} of the players file`, mend);
    }
    if (entry.holder !== null && !players.some((player) => player.id === entry.holder)) {
      const mend = 'name one of the players by their id, or null';
      return fail(
        `there is no player '${entry.holder}'`,
        `settled, entry ${i + 1} of the players file`,
        mend,
      );
    }
    const from = tickOfPlace(timeline, space.place) ?? space.startTick;
    settled.push(settledOf(entry, space, from, i));
  }
  const microphone = microphoneOf({ players, ...microphoneSettings(playersFile) });
  const context = { timeline, players, spaces, settled, microphone };
  const answers = spaces.map((space) => ({ space, freedoms: whoIsFree(space, context) }));
  const nameOf = (id: string) => players.find((player) => player.id === id)?.name ?? id;
  return ok({
    answer: {
      file,
      spaces: answers.map(({ space, freedoms }) => ({
        id: space.id,
        free: freedoms.filter(({ free }) => free).map(freedomAnswer),
        notFree: freedoms.filter(({ free }) => !free).map(freedomAnswer),
      })),
    },
    text: [
      `${read.song.title} (${file})`,
      ...answers.flatMap(({ space, freedoms }) => spaceText(space, freedoms, nameOf)),
      ...(answers.length === 0 ? ['  no spaces'] : []),
    ].join('\n'),
  });
}

export function settledOf(
  entry: PlayersFile['settled'][number],
  space: Space,
  from: number,
  index: number,
): Settled {
  const { holder, notes } = entry;
  return {
    id: `settled-${index + 1}`,
    place: space.place,
    extent: { from: space.startTick - from, to: space.endTick - from },
    holding:
      holder === null
        ? { kind: 'left open' }
        : notes && notes.length > 0
          ? {
              kind: 'fill',
              playerId: holder,
              fill: { family: '', chords: [], notes: notes.map((note) => noteOf(note, from)) },
            }
          : { kind: 'ad lib', playerId: holder },
    by: null,
    at: 0,
  };
}

type WrittenNote = NonNullable<PlayersFile['settled'][number]['notes']>[number];

/** A note as far as the file says it: without a string, it is there for its time alone. */
function noteOf(note: WrittenNote, from: number): FillNote {
  return {
    tick: note.tick - from,
    ticks: note.ticks,
    midi: note.midi ?? 0,
    string: note.string ?? 1,
    fret: note.fret ?? 0,
    finger: note.finger ?? 0,
    articulation: note.articulation ?? 'struck',
    stroke: note.stroke ?? null,
    strokeRule: null,
    exception: false,
  };
}

function freedomAnswer({ playerId, reasons }: Freedom): Answer {
  return { player: playerId, reasons: reasons.map(reasonAnswer) };
}

export function reasonAnswer(reason: Reason): Reason {
  return { ...reason, weight: rounded(reason.weight, 3) };
}

function spaceText(space: Space, freedoms: readonly Freedom[], nameOf: (id: string) => string): string[] {
  const of = `${plain(space.beats)} ${space.beats === 1 ? 'beat' : 'beats'}`;
  return [
    `  bar ${space.bar}, beat ${plain(space.beat)}: ${of}, ${space.kind} (${space.id})`,
    ...freedoms.map(({ playerId, free, reasons }) => {
      const why = reasons.map((reason) => reason.detail).join('; ');
      return `    ${free ? 'free' : 'not free'}: ${nameOf(playerId)}${why === '' ? '' : `, ${why}`}`;
    }),
  ];
}
