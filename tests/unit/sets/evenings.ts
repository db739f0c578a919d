import { itemAt, type Random } from '@/lib/base';
import { type Evening, type Need, ORDER_WEIGHTS, type SetSong } from '@/lib/sets';

export const song = (id: string, fields: Partial<SetSong> = {}): SetSong => ({
  id,
  title: id,
  key: { tonic: 'G', mode: 'major' },
  tempo: 100,
  meter: { count: 4, unit: 4 },
  seconds: 180,
  leadSinger: null,
  needs: [],
  energy: null,
  shaky: false,
  talkSeconds: 0,
  place: null,
  ...fields,
});

export const evening = (songs: readonly SetSong[], fields: Partial<Evening> = {}): Evening => ({
  songs,
  sets: songs.length > 0 ? [songs.length] : [],
  near: [],
  apart: [],
  joined: [],
  weights: ORDER_WEIGHTS,
  targetSeconds: null,
  ...fields,
});

export const guitar = (capo: number, tuning = 'standard', playerId = 'ina'): Need => ({
  playerId,
  setup: { instrument: 'guitar', tuning, capo, fifthCapo: null },
});
export const banjo = (capo: number, fifthCapo: number | null = null, tuning = 'standard'): Need => ({
  playerId: 'tobe',
  setup: { instrument: 'banjo', tuning, capo, fifthCapo },
});
export const mandolin = (playerId = 'cass'): Need => ({
  playerId,
  setup: { instrument: 'mandolin', tuning: 'standard', capo: 0, fifthCapo: null },
});

const TONICS = ['G', 'A', 'B', 'C', 'D', 'E', 'Bb', 'F'];

/** A band's evening by chance: five keys or more, capos that go with them, three lead singers, two who change instruments. */
export function eveningByChance(count: number, random: Random, fields: Partial<Evening> = {}): Evening {
  const pick = <T>(items: readonly T[]): T => itemAt(items, Math.floor(random() * items.length));
  const songs = Array.from({ length: count }, (_, i) => {
    const tonic = pick(TONICS);
    const capo = { G: 0, A: 2, B: 4, C: 0, D: 2, E: 4, Bb: 3, F: 5 }[tonic] ?? 0;
    const swaps = random() < 0.2;
    return song(`s${i}`, {
      key: { tonic, mode: random() < 0.2 ? 'minor' : 'major' },
      tempo: 70 + Math.floor(random() * 90),
      meter: random() < 0.25 ? { count: 3, unit: 4 } : { count: 4, unit: 4 },
      seconds: 140 + Math.floor(random() * 120),
      leadSinger: pick(['ina', 'tobe', 'cass', null]),
      energy: 1 + Math.floor(random() * 5),
      shaky: random() < 0.15,
      talkSeconds: random() < 0.2 ? 30 : 0,
      needs: [
        guitar(capo, random() < 0.1 ? 'drop D' : 'standard'),
        ...(random() < 0.85 ? [banjo(capo, null, random() < 0.1 ? 'double C' : 'standard')] : []),
        swaps ? guitar(capo, 'standard', 'cass') : mandolin(),
      ],
    });
  });
  return evening(songs, fields);
}

/** Every order of some things. */
export function* ordersOf<T>(items: readonly T[]): Generator<readonly T[]> {
  if (items.length <= 1) yield items;
  for (const [i, first] of items.entries()) {
    for (const rest of ordersOf([...items.slice(0, i), ...items.slice(i + 1)])) {
      if (items.length > 1) yield [first, ...rest];
    }
  }
}
