import {
  endingSchema,
  feelSchema,
  type Song,
  startSchema,
  tempoRangeSchema,
  tempoSchema,
  UNDECIDED,
} from '../song';
import type { Key } from '../theory';
import type { Breaches } from './breaches';
import { splitKey } from './layout';
import { fieldsOf, shareFields } from './shelf';
import { keyNow, readShift } from './shift';
import { readKey } from './song-items';

/** What stands above a song. */
export interface Head
  extends Pick<Song, 'id' | 'title' | 'key' | 'tempo' | 'tempoRange' | 'feel' | 'start' | 'ending'> {
  /** See shift.ts. */
  readonly shift: number;
}

const text = (value: unknown) => (typeof value === 'string' ? value.slice(0, 200) : undefined);

/** The fields that are stored under `name:FIELD`. */
export function fieldsUnder(name: string, meta: Iterable<[string, unknown]>): Record<string, unknown> {
  const fields: Record<string, unknown> = {};
  for (const [key, value] of meta) {
    const parts = splitKey(key);
    if (parts?.[0] === name) fields[parts[1]] = value;
  }
  return fields;
}

/** The head as `meta` has it; what cannot be read has its usual value, and is listed. */
export function readHead(
  meta: ReadonlyMap<string, unknown>,
  old: Head | undefined,
  breaches: Breaches,
): Head {
  const unread: string[] = [];
  const field = <T>(name: string, usual: T, value: T | null | undefined): T => {
    if ((value === undefined || value === null) && meta.size > 0)
      unread.push(`the song's ${name} cannot be read`);
    return value ?? usual;
  };
  const stored = readKey(meta.get('key'));
  const shift = field('shift', 0, readShift(meta.get('shift')));
  const key = field<Key>(
    'key',
    { tonic: 'C', mode: 'major' },
    typeof stored === 'object' ? keyNow(stored.value, shift) : null,
  );
  const feel = field('feel', { ratio: 1 }, feelSchema.safeParse(meta.get('feel')).data);
  const tempo = tempoSchema.nullable().safeParse(meta.get('tempo') ?? null);
  if (!tempo.success) unread.push("the song's tempo cannot be read");
  const storedRange = meta.get('tempoRange') ?? null;
  const tempoRange = tempoRangeSchema.nullable().safeParse(storedRange);
  if (!tempoRange.success) unread.push("the range of the song's tempo cannot be read");
  const start = startSchema.safeParse({ ...UNDECIDED.start, ...fieldsUnder('start', meta) });
  const ending = endingSchema.safeParse({ ...UNDECIDED.ending, ...fieldsUnder('ending', meta) });
  const isOfTempo = fieldsOf(storedRange)?.tempo === tempo.data;
  const range = isOfTempo ? (tempoRange.data ?? null) : null;
  const head: Head = {
    id: field('id', '', text(meta.get('id'))),
    title: field('title', '', text(meta.get('title'))),
    key: shareFields(old?.key, key),
    tempo: tempo.data ?? null,
    tempoRange: range && shareFields(old?.tempoRange ?? undefined, range),
    feel: shareFields(old?.feel, feel),
    start: shareFields(old?.start, field('start', UNDECIDED.start, start.data)),
    ending: shareFields(old?.ending, field('ending', UNDECIDED.ending, ending.data)),
    shift,
  };
  breaches.say('song', [], unread);
  return shareFields(old, head);
}
