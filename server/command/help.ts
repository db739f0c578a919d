import { z } from 'zod';
import { playersFileSchema, setFileSchema } from '../../lib/song';
import { isSwitch, type OptionsSchema, typedName } from './call';
import { table } from './output';

/** A verb as help shows it. */
export interface VerbHelp {
  readonly verb: string;
  /** What stands after it: `FILE…`. */
  readonly takes: string;
  readonly says: string;
  readonly schema: OptionsSchema;
  /** A file that it reads beside the songs. */
  readonly shape: { readonly name: string; readonly schema: z.ZodType } | null;
}

export const PLAYERS_SHAPE = { name: 'PLAYERS.json', schema: playersFileSchema };
export const SET_SHAPE = { name: 'SET.json', schema: setFileSchema };

export function overview(verbs: readonly VerbHelp[], endings: readonly string[]): string {
  return [
    'breathmark VERB … answers for songs what the board shows.',
    '',
    ...table(verbs.map(({ verb, takes, says }) => [`  ${verb} ${takes}`, says])),
    '',
    '  VERB --help says more. --json gives one JSON object a line, one for each file.',
    `  A FILE is a song (${endings.join(', ')}); a folder stands for every song file in it.`,
    '  Ends with 0 if every file was answered, 1 if one could not be, 2 for a wrong call.',
  ].join('\n');
}

export function verbHelp({ verb, takes, says, schema, shape }: VerbHelp): string {
  const options = Object.entries(schema.shape).map(([key, option]) => {
    const name = `--${typedName(key)}`;
    const description = option instanceof z.ZodType ? (option.description ?? '') : '';
    return [isSwitch(option) ? `  ${name}` : `  ${name} ${valueName(option)}`, description];
  });
  const lines = [`breathmark ${verb} ${takes}`, `  ${says}`, '', ...table(options)];
  if (!shape) return lines.join('\n');
  return [
    ...lines,
    '',
    `${shape.name}`,
    ...shapeLines(z.toJSONSchema(shape.schema, { io: 'input' }), '  '),
  ].join('\n');
}

/** What is typed after an option: its choices, or what kind of thing it is. */
function valueName(option: unknown): string {
  const inner =
    option instanceof z.ZodDefault || option instanceof z.ZodOptional ? option.def.innerType : option;
  if (inner instanceof z.ZodEnum) return inner.options.map((each) => quoted(String(each))).join('|');
  return inner instanceof z.ZodPipe ? 'N' : 'TEXT';
}

function quoted(text: string): string {
  return text.includes(' ') ? `"${text}"` : text;
}

type Json = z.core.JSONSchema._JSONSchema;

/** A JSON shape as indented lines: each field with its kind, `?` where it may be left out, and what it means. */
function shapeLines(schema: Json, indent: string): string[] {
  if (typeof schema === 'boolean') return [];
  if (schema.type === 'array') return itemLines(schema, indent);
  const required = new Set(schema.required ?? []);
  return Object.entries(schema.properties ?? {}).flatMap(([name, field]) => {
    const meaning = typeof field === 'boolean' ? undefined : field.description;
    const line = `${indent}${name}${required.has(name) ? '' : '?'}: ${kindOf(field)}${meaning ? `, ${meaning}` : ''}`;
    return [line, ...innerLines(field, `${indent}  `)];
  });
}

function innerLines(field: Json, indent: string): string[] {
  if (typeof field === 'boolean') return [];
  return field.type === 'object' || field.type === 'array' ? shapeLines(field, indent) : [];
}

function itemLines(schema: Exclude<Json, boolean>, indent: string): string[] {
  const items = schema.items;
  if (items === undefined || typeof items === 'boolean' || Array.isArray(items)) return [];
  return innerLines(items, indent);
}

function kindOf(field: Json): string {
  if (typeof field === 'boolean') return 'anything';
  if (field.enum) return field.enum.map((each) => quoted(String(each))).join('|');
  if (field.anyOf) return field.anyOf.map(kindOf).join(' or ');
  if (field.type === 'array') {
    const items = field.items;
    return `list of ${items === undefined || Array.isArray(items) ? 'anything' : kindOf(items)}`;
  }
  return [field.type ?? 'anything'].flat().join(' or ');
}
