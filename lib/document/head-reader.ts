import { feelSchema, type Song, tempoSchema } from '../song';
import type { Key } from '../theory';
import type { Breaches } from './breaches';
import { shareFields } from './shelf';
import { keyNow, readShift } from './shift';
import { readKey } from './song-items';

/** What stands above a song. */
export interface Head extends Pick<Song, 'id' | 'title' | 'key' | 'tempo' | 'feel'> {
  /** See shift.ts. */
  readonly shift: number;
}

const text = (value: unknown) => (typeof value === 'string' ? value.slice(0, 200) : undefined);

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
  const head: Head = {
    id: field('id', '', text(meta.get('id'))),
    title: field('title', '', text(meta.get('title'))),
    key: shareFields(old?.key, key),
    tempo: tempo.data ?? null,
    feel: shareFields(old?.feel, feel),
    shift,
  };
  breaches.say('song', [], unread);
  return shareFields(old, head);
}
