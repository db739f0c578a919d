import { fail, ok, type Result } from '../../lib/base';
import { type BandMade, LIMITS } from '../../lib/protocol';
import { ask } from '../hooks/api';

/** A band that was made from a file, by the name that stands in it. */
export interface FromFile {
  readonly made: BandMade;
  readonly name: string;
}

/** Makes a band from its file: all of it, or a problem and nothing. Loaded when somebody chooses one. */
export async function bandFromFile(file: File): Promise<Result<FromFile>> {
  if (file.size > LIMITS.bandFile)
    return fail(
      `the file has ${Math.ceil(file.size / 1_000_000)} million bytes; ${Math.floor(LIMITS.bandFile / 1_000_000)} million are read at most`,
      file.name,
      'bring its songs in on a band’s page, a few at a time',
    );
  let text: string;
  try {
    text = await file.text();
  } catch {
    return fail(
      'the file could not be opened',
      file.name,
      'see that it is still where it was, then choose it again',
    );
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return fail(
      'this is not a band file: it is not JSON',
      file.name,
      'choose the file that was taken along on the band’s page; its name ends in .breathmark.json',
    );
  }
  const answer = await ask('/api/bands/from-file', 'bandMade', value);
  if (!answer.ok)
    return { ok: false, error: { ...answer.error, where: `${file.name}, ${answer.error.where}` } };
  return ok({ made: answer.value, name: nameIn(value) });
}

function nameIn(value: unknown): string {
  const band = fieldOf(value, 'band');
  const name = fieldOf(band, 'name');
  return typeof name === 'string' && name !== '' ? name : 'The band';
}

const fieldOf = (value: unknown, name: string): unknown =>
  typeof value === 'object' && value !== null
    ? Object.entries(value).find(([key]) => key === name)?.[1]
    : undefined;
