import { fail, ok, type Result } from '../../lib/base';
import { clockInFigures, type Evening, eveningOf, type OrderAnswer, orderSet } from '../../lib/sets';
import { setFileSchema } from '../../lib/song';
import { readText } from './inputs';
import { plain, rounded, type Told } from './output';
import { problemOf } from './problems';

/** `order`: the songs of a set file in the order that costs least, with what lies between them. */
export async function tellOrder(file: string): Promise<Result<Told>> {
  const text = await readText(file);
  if (!text.ok) return text;
  let value: unknown;
  try {
    value = JSON.parse(text.value);
  } catch (error) {
    const where = error instanceof Error ? error.message : file;
    return fail('the set file is not JSON', `${file}: ${where}`, 'mend it there; --help shows its shape');
  }
  const read = setFileSchema.safeParse(value);
  if (!read.success) return { ok: false, error: problemOf(read.error, file) };
  const { evening, warnings } = eveningOf(read.data);
  const answer = orderSet(evening);
  if (!answer.ok) return { ok: false, error: { ...answer.error, where: `${file}, ${answer.error.where}` } };
  const all = [...warnings, ...tooLong(evening, answer.value)];
  return ok({
    answer: answerOf(file, answer.value, all),
    text: textOf(evening, answer.value, all),
  });
}

/** An order holds all songs: what does not fit into the time promised is said, not left out. */
function tooLong({ targetSeconds }: Evening, { seconds }: OrderAnswer): string[] {
  if (targetSeconds === null || seconds <= targetSeconds) return [];
  const by = seconds - targetSeconds;
  return [`this is ${clockInFigures(by)} longer than the ${clockInFigures(targetSeconds)} promised`];
}

function answerOf(file: string, answer: OrderAnswer, warnings: readonly string[]) {
  const { order, total, seconds, setSeconds, exact, lowerBound } = answer;
  return {
    file,
    order,
    total,
    seconds: rounded(seconds, 3),
    exact,
    lowerBound,
    between: answer.between.map(({ from, to, cost, seconds: pause, steps, heard, reasons, atBreak }) => ({
      from,
      to,
      cost,
      seconds: rounded(pause, 3),
      steps,
      heard,
      reasons,
      atBreak,
    })),
    places: answer.places.map(({ songId, cost, reasons }) => ({ song: songId, cost, reasons })),
    missed: answer.missed,
    setSeconds: setSeconds.map((each) => rounded(each, 3)),
    warnings,
  };
}

function textOf(evening: Evening, answer: OrderAnswer, warnings: readonly string[]): string {
  const { order, total, lowerBound, exact, seconds } = answer;
  const lines = order.flatMap((id, place) => {
    const song = evening.songs.find((each) => each.id === id);
    const between = answer.between[place];
    const why = answer.places[place]?.reasons.map((reason) => reason.detail) ?? [];
    const head = `${String(place + 1).padStart(3)}. ${song?.title ?? id}${why.length > 0 ? ` (${why.join('; ')})` : ''}`;
    if (!between) return [head];
    if (between.atBreak) return [head, '     break'];
    const steps = between.steps.length > 0 ? `: ${between.steps.join('; ')}` : '';
    return [head, `     ${plain(between.seconds)} s${steps}`];
  });
  const bound = exact ? 'no order costs less' : `no order costs less than ${plain(lowerBound)}`;
  return [
    ...lines,
    '',
    `${clockInFigures(seconds)} in all; cost ${plain(total)} (${bound})`,
    ...answer.missed.map((reason) => `missed: ${reason.detail}`),
    ...warnings.map((warning) => `note: ${warning}`),
  ].join('\n');
}
