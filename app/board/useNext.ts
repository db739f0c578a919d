import { useState } from 'react';

/**
 * Of a list whose entries each lead somewhere, the one that its key goes to: one after another, and round again.
 *
 * @returns its index, and what is told when an entry was gone to
 */
export function useNext(count: number): readonly [next: number, went: (index: number) => void] {
  const [at, setAt] = useState(0);
  return [count === 0 ? 0 : at % count, (index) => setAt(index + 1)];
}
