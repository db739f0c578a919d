import { parseArgs } from 'node:util';
import { z } from 'zod';

/** A wrong call: what is wrong with it, in one line. The program ends with 2. */
export class WrongCall extends Error {}

/** The shape of a verb's options: a flat object of texts and switches. */
export type OptionsSchema = z.ZodObject;

/** `minBeats` as it is typed: `min-beats`. */
export function typedName(key: string): string {
  return key.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

/** True for a switch, which takes no value. */
export function isSwitch(schema: unknown): boolean {
  return schema instanceof z.ZodDefault && schema.def.innerType instanceof z.ZodBoolean;
}

/**
 * Reads what follows a verb by its schema.
 *
 * @throws WrongCall for an option that the verb does not have, lacks, or cannot read
 */
export function readCall<S extends OptionsSchema>(
  schema: S,
  args: readonly string[],
): { options: z.infer<S>; names: string[] } {
  const keys = Object.keys(schema.shape);
  const parsed = parseStrictly(schema, args);
  const values: Record<string, unknown> = {};
  for (const key of keys) {
    const value = parsed.values[typedName(key)];
    if (value !== undefined) values[key] = value;
  }
  const read = schema.safeParse(values);
  if (read.success) return { options: read.data, names: parsed.positionals };
  const issue = read.error.issues[0];
  const key = String(issue?.path[0] ?? '');
  if (values[key] === undefined) throw new WrongCall(`the option --${typedName(key)} is missing`);
  throw new WrongCall(`--${typedName(key)} ${String(values[key])}: ${issue?.message ?? 'cannot be read'}`);
}

function parseStrictly(schema: OptionsSchema, args: readonly string[]) {
  const options = Object.fromEntries(
    Object.entries(schema.shape).map(([key, option]) => [
      typedName(key),
      { type: isSwitch(option) ? ('boolean' as const) : ('string' as const) },
    ]),
  );
  try {
    return parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    throw new WrongCall(message.split(/\. (?=[A-Z])|\n/)[0] ?? message);
  }
}
