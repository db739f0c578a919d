const SHORT = 126;
const MIDDLE = 0x1_0000;
/** Final fragment, binary. */
const FIRST_BYTE = 0x82;

/**
 * A message as it goes over the wire to a page: one unmasked binary WebSocket frame. Made once, written to as many
 * sockets as there are readers. Source: RFC 6455, section 5.2 (length in 7 bits, 126 + 16 bits or 127 + 64 bits).
 */
export function wireOf(message: Uint8Array): Buffer {
  const { length } = message;
  const head = length < SHORT ? 2 : length < MIDDLE ? 4 : 10;
  const wire = Buffer.allocUnsafe(head + length);
  wire[0] = FIRST_BYTE;
  if (head === 2) wire[1] = length;
  else if (head === 4) {
    wire[1] = 126;
    wire.writeUInt16BE(length, 2);
  } else {
    wire[1] = 127;
    wire.writeBigUInt64BE(BigInt(length), 2);
  }
  wire.set(message, head);
  return wire;
}
