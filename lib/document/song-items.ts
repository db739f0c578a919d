import { z } from 'zod';
import {
  type Answer,
  answerSchema,
  type Bar,
  barSchema,
  type ChordMark,
  type Comment,
  chordMarkSchema,
  commentSchema,
  keySchema,
  type Pass,
  passSchema,
  type Section,
  type SungNote,
  type Syllable,
  sungNoteSchema,
  syllableSchema,
  type Voice,
  voiceSchema,
} from '../song';
import type { Key } from '../theory';
import { type Fields, playerOfRole, splitKey } from './layout';
import { isPosition, type Ordered } from './order';
import { fieldsOf, type Read, whole } from './shelf';
import { readShift, type Written } from './shift';
import { namedAnswer } from './stored-answer';

/** An item of an order that people change, with its value. */
export interface Placed<T> extends Ordered {
  readonly value: T;
}
export interface PlacedInSection<T> extends Placed<T> {
  readonly sectionId: string;
}
/** A bar with its section. */
export interface BarInSection extends PlacedInSection<Bar> {
  /** The shift under which its key was written. */
  readonly keyShift: number;
}
/** A voice in its order. */
export interface PlacedVoice extends Placed<Voice> {
  /** The shift under which its range was written. */
  readonly rangeShift: number;
}
export interface Word {
  readonly noteId: string;
  /** From 1. */
  readonly stanza: number;
  readonly syllable: Syllable;
}

/** Reads one item with a place in an order, from its fields. */
export function placed<T>(raw: unknown, id: string, read: (fields: Fields) => Read<T>): Read<Placed<T>> {
  const fields = fieldsOf(raw);
  if (!fields) return 'broken';
  if (fields.removed === true) return 'removed';
  const position = fields.position;
  if (!isPosition(position)) return 'broken';
  const value = read(fields);
  return typeof value === 'object' ? { value: { id, position, value: value.value } } : value;
}

const sectionSchema: z.ZodType<Section> = z.object({
  id: z.string().min(1).max(80),
  name: z.string().max(80),
  bars: z.array(barSchema),
  chordsGuessed: z.literal(true).exactOptional(),
});

/** A section without its bars. */
export const readSection = (raw: unknown, id: string): Read<Placed<Section>> =>
  placed(raw, id, (fields) => whole(sectionSchema, { ...fields, id, bars: [] }));

export function readBar(raw: unknown, id: string): Read<BarInSection> {
  const bar = placed(raw, id, (fields) =>
    whole(barSchema, { pickup: false, endings: [], key: null, tempo: null, ...fields, id }),
  );
  if (typeof bar !== 'object') return bar;
  const fields = fieldsOf(raw);
  const sectionId = fields?.sectionId;
  const keyShift = readShift(fieldsOf(fields?.key)?.shift);
  return typeof sectionId === 'string' && keyShift !== null
    ? { value: { ...bar.value, sectionId, keyShift } }
    : 'broken';
}

/** One JSON value with the shift under which it was written. */
function readWritten<T>(raw: unknown, read: (fields: Fields) => Read<T>): Read<Written<T>> {
  const fields = fieldsOf(raw) ?? {};
  const shift = readShift(fields.shift);
  const value = read(fields);
  if (typeof value !== 'object') return value;
  return shift === null ? 'broken' : { value: { value: value.value, shift } };
}

export function readVoice(raw: unknown, id: string): Read<PlacedVoice> {
  const voice = placed(raw, id, (fields) =>
    whole(voiceSchema, { playerId: null, range: null, ...fields, id }),
  );
  if (typeof voice !== 'object') return voice;
  const rangeShift = readShift(fieldsOf(fieldsOf(raw)?.range)?.shift);
  return rangeShift === null ? 'broken' : { value: { ...voice.value, rangeShift } };
}

export const readPass = (raw: unknown, id: string): Read<Placed<Pass>> =>
  placed(raw, id, (fields) => {
    const roles: [string, unknown][] = [];
    for (const [key, role] of Object.entries(fields)) {
      const playerId = playerOfRole(key);
      if (playerId !== null) roles.push([playerId, role]);
    }
    return whole(passSchema, { ending: 1, name: '', ...fields, id, roles: Object.fromEntries(roles) });
  });

/** A note without its words. */
export const readNote = (raw: unknown, id: string): Read<Written<SungNote>> =>
  readWritten(raw, (fields) =>
    whole(sungNoteSchema, { stanzas: [], breath: false, fermata: false, ...fields, id, syllables: [] }),
  );

const stanzaSchema = z.coerce.number().int().min(1).max(60);

export function readWord(raw: unknown, key: string): Read<Word> {
  const parts = splitKey(key);
  const stanza = stanzaSchema.safeParse(parts?.[1]);
  const syllable = syllableSchema.safeParse({ joins: false, endsLine: false, ...fieldsOf(raw) });
  if (!parts || !stanza.success || !syllable.success) return 'broken';
  return { value: { noteId: parts[0], stanza: stanza.data, syllable: syllable.data } };
}

export const readChord = (raw: unknown, id: string): Read<Written<ChordMark>> =>
  readWritten(raw, (fields) => whole(chordMarkSchema, { ...fields, id }));

export const readKey = (raw: unknown): Read<Written<Key>> =>
  readWritten(raw, (fields) => whole(keySchema, fields));

export function readAnswer(raw: unknown, id: string): Read<Answer> {
  const answer = whole(answerSchema, { ...namedAnswer(fieldsOf(raw) ?? {}), id });
  return typeof answer === 'object' && answer.value.extent.to <= answer.value.extent.from ? 'broken' : answer;
}

export const readComment = (raw: unknown, id: string): Read<Comment> =>
  whole(commentSchema, { ...fieldsOf(raw), id });

export const readVote = (raw: unknown): Read<boolean> => whole(z.boolean(), raw);

export const readRaw = (raw: unknown): Read<unknown> => ({ value: raw });
