import type { Drawing, Instruction } from '../drawing';

/** Places are told apart to a tenth of a pixel: less cannot be seen on paper. */
const PLACES = 10;

/**
 * A short name for what stands on pages: the same pages have the same stamp wherever and whenever they are made, and pages on which
 * anything was moved, added or taken away have another (one chance in 2^32 that they have not). Eight hexadecimal figures.
 */
export function stampOf(drawings: readonly Drawing[]): string {
  return hashOf(drawings.map((drawing) => drawing.map(told).join('\n')).join('\f'))
    .toString(16)
    .padStart(8, '0');
}

function told(one: Instruction): string {
  const at = (place: number) => String(Math.round(place * PLACES));
  switch (one.kind) {
    case 'line':
      return ['line', at(one.x1), at(one.y1), at(one.x2), at(one.y2), one.pen].join(' ');
    case 'arc':
      return ['arc', at(one.x1), at(one.x2), at(one.y), at(one.height)].join(' ');
    case 'text':
      return [one.face, one.tone, one.anchor, at(one.x), at(one.y), at(one.size), one.text].join(' ');
  }
}

const OFFSET = 0x811c9dc5;
const PRIME = 0x01000193;

/** FNV-1a of a text's UTF-8 bytes, 32 bits. Source, from memory: RFC 9923, The FNV Non-Cryptographic Hash Algorithm. */
export function hashOf(text: string): number {
  let hash = OFFSET;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, PRIME);
  return hash >>> 0;
}
