import type { WhereItStands } from './where-it-stands';

export const CHANGED = 'That has changed meanwhile. Nothing was done.';
export const PUT_ALREADY = 'You have put that to the band already.';

export function spacesInWords(count: number): string {
  return count === 1 ? 'One space' : `${count} spaces`;
}

export function settledInWords(count: number): string {
  return `${spacesInWords(count)} settled. One undo takes ${count === 1 ? 'it' : 'them all'} back.`;
}

export function putInWords(count: number): string {
  return `${count === 1 ? 'One idea is' : `${count} ideas are`} put to the band.`;
}

/**
 * Why there is nothing to settle at an entry of a plan.
 *
 * @param name the holder's, as the plan has it
 */
export function decidedInWords(where: Exclude<WhereItStands, 'undecided'>, name: string): string {
  switch (where) {
    case 'settled before':
      return 'Settled already.';
    case 'settled now':
      return 'Settled now.';
    case 'has the break':
      return `The order of the song gives ${name} this break already: there is nothing to settle.`;
    case 'no break':
      return 'The plan gives nobody a break here: there is nothing to settle.';
    case 'changed':
      return 'The song has changed here since the plan was worked out. Work it out again to see who takes it now.';
  }
}
