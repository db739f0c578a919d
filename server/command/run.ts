import type { Result } from '../../lib/base';
import { READ_ENDINGS, type SongRead } from '../../lib/exchange';
import { readCall, WrongCall } from './call';
import { overview, PLAYERS_SHAPE, SET_SHAPE, type VerbHelp, verbHelp } from './help';
import { readSong, songFiles } from './inputs';
import {
  BACKUP_OPTIONS,
  BREAK_OPTIONS,
  CONVERT_OPTIONS,
  FREE_OPTIONS,
  OFFERS_OPTIONS,
  ORDER_OPTIONS,
  PARTS_OPTIONS,
  PLAN_OPTIONS,
  SPACES_OPTIONS,
  STROKES_OPTIONS,
} from './options';
import { errorAnswer, errorText, type Output, type Told } from './output';

const VERBS: readonly VerbHelp[] = [
  {
    verb: 'spaces',
    takes: 'FILE…',
    says: 'where the singer breathes: phrases, and spaces in beats and seconds',
    schema: SPACES_OPTIONS,
    shape: null,
  },
  {
    verb: 'free',
    takes: 'FILE… --players PLAYERS.json',
    says: 'who could take each space, who not, and why',
    schema: FREE_OPTIONS,
    shape: PLAYERS_SHAPE,
  },
  {
    verb: 'offers',
    takes: 'FILE… --space ID|all --player INSTRUMENT',
    says: 'what a player could play in a space, best first',
    schema: OFFERS_OPTIONS,
    shape: null,
  },
  {
    verb: 'break',
    takes: 'FILE… --player INSTRUMENT',
    says: 'the tune as one player plays it alone, in the roll, cross-picked or ornamented',
    schema: BREAK_OPTIONS,
    shape: null,
  },
  {
    verb: 'backup',
    takes: 'FILE… --player INSTRUMENT',
    says: 'what a player plays behind the singer',
    schema: BACKUP_OPTIONS,
    shape: null,
  },
  {
    verb: 'parts',
    takes: 'FILE… --players PLAYERS.json --out FOLDER',
    says: "each player's part with what is settled, as a PDF",
    schema: PARTS_OPTIONS,
    shape: PLAYERS_SHAPE,
  },
  {
    verb: 'convert',
    takes: 'IN OUT',
    says: 'writes a song in another format, by the endings of the names; what it cannot hold is listed on standard error',
    schema: CONVERT_OPTIONS,
    shape: null,
  },
  {
    verb: 'plan',
    takes: 'FILE… --players PLAYERS.json',
    says: 'who takes which space over the whole song, as its roadmap runs, and what clashes',
    schema: PLAN_OPTIONS,
    shape: PLAYERS_SHAPE,
  },
  {
    verb: 'order',
    takes: 'SET.json…',
    says: 'an evening in the order that costs least, and what lies between its songs',
    schema: ORDER_OPTIONS,
    shape: SET_SHAPE,
  },
  {
    verb: 'strokes',
    takes: 'STRING…',
    says: 'strokes of the right hand for a figure that is repeated, in eighth notes from the beat',
    schema: STROKES_OPTIONS,
    shape: null,
  },
];

/** How a run ended: everything answered, an input that could not be, a wrong call. */
export type ExitCode = 0 | 1 | 2;

/** Runs one call of the command line. Reads songs one after another and keeps none. */
export async function run(args: readonly string[], output: Output): Promise<ExitCode> {
  try {
    return await answer(args, output);
  } catch (error) {
    if (!(error instanceof WrongCall)) throw error;
    output.note(`${error.message} (breathmark --help shows the calls)`);
    return 2;
  }
}

async function answer(args: readonly string[], output: Output): Promise<ExitCode> {
  const [verb, ...rest] = args;
  if (verb === undefined) throw new WrongCall('say what to do');
  if (verb === '--help' || verb === '-h' || verb === 'help') {
    await output.line(overview(VERBS, READ_ENDINGS));
    return 0;
  }
  const help = VERBS.find((each) => each.verb === verb);
  if (!help) throw new WrongCall(`there is no verb '${verb}': ${VERBS.map((each) => each.verb).join(', ')}`);
  if (rest.includes('--help') || rest.includes('-h')) {
    await output.line(verbHelp(help));
    return 0;
  }
  switch (verb) {
    case 'spaces':
      return runSpaces(rest, output);
    case 'free':
      return runFree(rest, output);
    case 'offers':
      return runOffers(rest, output);
    case 'break':
      return runBreak(rest, output);
    case 'backup':
      return runBackup(rest, output);
    case 'plan':
      return runPlan(rest, output);
    case 'order':
      return runOrder(rest, output);
    case 'parts':
      return runParts(rest, output);
    case 'convert':
      return runConvert(rest, output);
    default:
      return runStrokes(rest, output);
  }
}

async function runSpaces(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(SPACES_OPTIONS, rest);
  const { tellSpaces } = await import('./spaces');
  return forEachSong(names, options.json, output, (file, read) => tellSpaces(file, read, options));
}

async function runFree(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(FREE_OPTIONS, rest);
  const { readPlayers, tellFree } = await import('./free');
  const players = await readPlayers(options.players);
  return forEachSong(names, options.json, output, (file, read) =>
    players.ok ? tellFree(file, read, players.value) : players,
  );
}

async function runOffers(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(OFFERS_OPTIONS, rest);
  const { setupOf, tellOffers } = await import('./offers');
  const setup = setupOf(options);
  return forEachSong(names, options.json, output, (file, read) => tellOffers(file, read, options, setup));
}

async function runBreak(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(BREAK_OPTIONS, rest);
  const { tellBreak } = await import('./break');
  const { setupOf } = await import('./offers');
  const setup = setupOf(options);
  return forEachSong(names, options.json, output, (file, read) => tellBreak(file, read, options, setup));
}

async function runBackup(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(BACKUP_OPTIONS, rest);
  const { tellBackup } = await import('./backup');
  const { setupOf } = await import('./offers');
  const setup = setupOf(options);
  return forEachSong(names, options.json, output, (file, read) => tellBackup(file, read, setup));
}

async function runParts(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(PARTS_OPTIONS, rest);
  if (names.length === 0) throw new WrongCall('give at least one song file or folder');
  const { readPlayers } = await import('./free');
  const { tellParts } = await import('./parts');
  const players = await readPlayers(options.players);
  const printed = async function* () {
    for await (const found of songFiles(names)) {
      const file = found.ok ? found.value : found.error.where;
      const read = found.ok ? await readSong(file) : found;
      const told = !read.ok
        ? read
        : players.ok
          ? await tellParts(file, read.value, players.value, options)
          : players;
      yield { file, told };
    }
  };
  return writeAnswers(printed(), options.json, output);
}

async function runConvert(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { names } = readCall(CONVERT_OPTIONS, rest);
  const [from, to] = names;
  if (from === undefined || to === undefined || names.length > 2)
    throw new WrongCall('give the file to read and the file to write');
  const { convert } = await import('./convert');
  const converted = await convert(from, to);
  if (!converted.ok) {
    output.note(errorText(from, converted.error));
    return 1;
  }
  for (const note of converted.value.notes) output.note(note);
  await output.line(`${to}: ${converted.value.title}`);
  return 0;
}

async function runPlan(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(PLAN_OPTIONS, rest);
  const { readPlayers } = await import('./free');
  const { tellPlan } = await import('./plan');
  const players = await readPlayers(options.players);
  return forEachSong(names, options.json, output, (file, read) =>
    players.ok ? tellPlan(file, read, players.value) : players,
  );
}

async function runOrder(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(ORDER_OPTIONS, rest);
  if (names.length === 0) throw new WrongCall('give at least one set file');
  const { tellOrder } = await import('./order');
  const sets = async function* () {
    for (const file of names) yield { file, told: await tellOrder(file) };
  };
  return writeAnswers(sets(), options.json, output);
}

async function runStrokes(rest: readonly string[], output: Output): Promise<ExitCode> {
  const { options, names } = readCall(STROKES_OPTIONS, rest);
  const { tellStrokes } = await import('./strokes');
  const { answer: strokes, text } = tellStrokes(names, options.rule);
  await output.line(options.json ? JSON.stringify(strokes) : text);
  return 0;
}

/** Answers song after song; one that cannot be answered says so in its place, and the rest go on. */
async function forEachSong(
  names: readonly string[],
  json: boolean,
  output: Output,
  tell: (file: string, read: SongRead) => Result<Told>,
): Promise<ExitCode> {
  if (names.length === 0) throw new WrongCall('give at least one song file or folder');
  const songs = async function* () {
    for await (const found of songFiles(names)) {
      const file = found.ok ? found.value : found.error.where;
      const read = found.ok ? await readSong(file) : found;
      yield { file, told: read.ok ? tell(file, read.value) : read };
    }
  };
  return writeAnswers(songs(), json, output);
}

async function writeAnswers(
  answers: AsyncIterable<{ readonly file: string; readonly told: Result<Told> }>,
  json: boolean,
  output: Output,
): Promise<ExitCode> {
  let code: ExitCode = 0;
  let first = true;
  for await (const { file, told } of answers) {
    if (!told.ok) code = 1;
    const data = told.ok ? told.value.answer : errorAnswer(file, told.error);
    const text = told.ok ? told.value.text : errorText(file, told.error);
    await output.line(json ? JSON.stringify(data) : first ? text : `\n${text}`);
    first = false;
  }
  return code;
}
