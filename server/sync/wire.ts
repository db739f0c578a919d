const SHORT = 126;
const MIDDLE = 0x1_0000;
/** Final fragment, binary. */
const FIRST_BYTE = 0x82;

const headOf = (length: number): number => (length < SHORT ? 2 : length < MIDDLE ? 4 : 10);

/** Bytes that a message takes on the wire. */
export const wireLength = (message: Uint8Array): number => headOf(message.length) + message.length;

/**
 * A message as it goes over the wire to a page: one unmasked binary WebSocket frame. Made once, written to as many
 * sockets as there are readers. Source: RFC 6455, section 5.2 (length in 7 bits, 126 + 16 bits or 127 + 64 bits).
 */
export function wireOf(message: Uint8Array): Buffer {
  const wire = Buffer.allocUnsafe(wireLength(message));
  putOnWire(message, wire, 0);
  return wire;
}

/** Writes a message as `wireOf` makes it into a buffer, from there on; gives back where it ends. */
export function putOnWire(message: Uint8Array, wire: Buffer, at: number): number {
  const { length } = message;
  const head = headOf(length);
  wire[at] = FIRST_BYTE;
  if (head === 2) wire[at + 1] = length;
  else if (head === 4) {
    wire[at + 1] = 126;
    wire.writeUInt16BE(length, at + 2);
  } else {
    wire[at + 1] = 127;
    wire.writeBigUInt64BE(BigInt(length), at + 2);
  }
  wire.set(message, at + head);
  return at + head + length;
}
