import { crc32 } from 'node:zlib';

/**
 * The checksum of a row: CRC-32 over the name of its document and its bytes, so that a row is known as damaged also
 * where it turns up under another document. It finds accidents, not forgery.
 */
export function sumOf(name: string, bytes: Uint8Array): number {
  const ofName = crc32(name);
  return bytes.length === 0 ? ofName : crc32(bytes, ofName);
}
