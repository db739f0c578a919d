const COUNTS = ['none', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten'];
const ORDERS = ['', 'first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth', 'ninth'];
/** How far from a whole number a share still counts as that number. */
const NEAR = 0.25;

const countInWords = (count: number): string => COUNTS[count] ?? String(count);

function orderInWords(count: number): string {
  const word = ORDERS[count];
  if (word) return word;
  const tens = count % 100;
  if (tens >= 11 && tens <= 13) return `${count}th`;
  return `${count}${['th', 'st', 'nd', 'rd'][count % 10] ?? 'th'}`;
}

/** A share that need not be whole, as one says it: `two`, `two or three`. */
function aboutInWords(share: number): string {
  const near = Math.round(share);
  if (Math.abs(share - near) <= NEAR) return countInWords(near);
  const below = Math.floor(share);
  return below === 0 ? 'at most one' : `${countInWords(below)} or ${countInWords(below + 1)}`;
}

/** Whether so many are no more than a share, as it is said. */
const isWithin = (count: number, share: number): boolean => count <= Math.ceil(share - NEAR);

/** Which turn of a player's this is, beside the share that is fair for them. */
export function turnInWords(count: number, share: number): string {
  const turn = `their ${orderInWords(count)} turn`;
  const about = aboutInWords(share);
  if (count === 1 && isWithin(count, share) && about.endsWith('one')) return 'their one turn';
  return isWithin(count, share) ? `${turn} of ${about}` : `${turn}, where ${about} would be fair`;
}

/** How many spaces are left open with this one, beside how many the band wants open. */
export function openInWords(count: number, share: number): string {
  const space = `the ${orderInWords(count)} space left open`;
  const about = aboutInWords(share);
  if (count === 1 && isWithin(count, share) && about.endsWith('one'))
    return 'the one space that the band wants left open';
  return isWithin(count, share)
    ? `${space} of ${about} that the band wants`
    : `${space}, where the band wants ${about}`;
}
