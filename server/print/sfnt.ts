import { inflateSync } from 'node:zlib';

const SIGNATURE = 0x774f4646;
const HEADER = 44;
const ENTRY = 20;
const SFNT_HEADER = 12;
const SFNT_ENTRY = 16;

/**
 * The font within a WOFF file, as it was before it was packed: unpacked once here, rather than anew for each document.
 * Anything that is no WOFF file comes back as it is. Source: WOFF File Format 1.0 (W3C), sections 3 to 5.
 */
export function unpackWoff(bytes: Buffer): Buffer {
  if (bytes.length < HEADER || bytes.readUInt32BE(0) !== SIGNATURE) return bytes;
  const flavour = bytes.readUInt32BE(4);
  const count = bytes.readUInt16BE(12);
  const tables = Array.from({ length: count }, (_, i) => {
    const at = HEADER + i * ENTRY;
    const offset = bytes.readUInt32BE(at + 4);
    const packed = bytes.readUInt32BE(at + 8);
    const length = bytes.readUInt32BE(at + 12);
    const stored = bytes.subarray(offset, offset + packed);
    const data = packed < length ? inflateSync(stored) : stored;
    return { tag: bytes.subarray(at, at + 4), checksum: bytes.readUInt32BE(at + 16), data };
  });
  const head = Buffer.alloc(SFNT_HEADER + count * SFNT_ENTRY);
  // The greatest power of two that is no more than the tables are many, for a binary search of the directory.
  const power = 2 ** Math.floor(Math.log2(Math.max(1, count)));
  head.writeUInt32BE(flavour, 0);
  head.writeUInt16BE(count, 4);
  head.writeUInt16BE(power * 16, 6);
  head.writeUInt16BE(Math.log2(power), 8);
  head.writeUInt16BE(count * 16 - power * 16, 10);
  const parts: Buffer[] = [head];
  let offset = head.length;
  tables.forEach(({ tag, checksum, data }, i) => {
    const at = SFNT_HEADER + i * SFNT_ENTRY;
    tag.copy(head, at);
    head.writeUInt32BE(checksum, at + 4);
    head.writeUInt32BE(offset, at + 8);
    head.writeUInt32BE(data.length, at + 12);
    const padding = (4 - (data.length % 4)) % 4;
    parts.push(data, Buffer.alloc(padding));
    offset += data.length + padding;
  });
  return Buffer.concat(parts);
}
