import { itemAt, must } from '../base';
import { type Ordered, placeAt } from './order';

/** All that stand, in the wanted order: those not named stay right behind the one that they stood behind. */
export function arranged(standing: readonly string[], wanted: readonly string[]): readonly string[] {
  const order = [...new Set(wanted)].filter((id) => standing.includes(id));
  standing.forEach((id, i) => {
    if (order.includes(id)) return;
    order.splice(i === 0 ? 0 : order.indexOf(itemAt(standing, i - 1)) + 1, 0, id);
  });
  return order;
}

/** The positions to write so that items come to stand in an order; those of a longest run that stands right already are kept. */
export function placesFor(standing: readonly Ordered[], order: readonly string[]): readonly Ordered[] {
  const at = new Map(standing.map((item, i) => [item.id, i]));
  const stays = longestRising(order.map((id) => must(at.get(id), 'an item that stands')));
  const placed: Ordered[] = standing.filter((_, i) => stays.has(i));
  const written = new Map<string, Ordered>();
  order.forEach((id, index) => {
    if (placed[index]?.id === id) return;
    for (const place of placeAt(placed, index, id)) {
      written.set(place.id, place);
      const known = placed.findIndex((item) => item.id === place.id);
      if (known >= 0) placed[known] = place;
      else placed.splice(index, 0, place);
    }
  });
  return [...written.values()];
}

/** Numbers of a longest rising run among some numbers. */
function longestRising(numbers: readonly number[]): ReadonlySet<number> {
  const length: number[] = [];
  const before: number[] = [];
  numbers.forEach((number, i) => {
    length[i] = 1;
    before[i] = -1;
    for (let j = 0; j < i; j++) {
      if (itemAt(numbers, j) >= number || itemAt(length, j) < itemAt(length, i)) continue;
      length[i] = itemAt(length, j) + 1;
      before[i] = j;
    }
  });
  const run = new Set<number>();
  for (let i = length.indexOf(Math.max(...length)); i >= 0; i = itemAt(before, i))
    run.add(itemAt(numbers, i));
  return run;
}
