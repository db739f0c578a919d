/** Byte strings laid end to end, to cross between threads by handing over one buffer. */
export interface Parcel {
  readonly sizes: readonly number[];
  readonly bytes: Uint8Array<ArrayBuffer>;
}

export function packed(parts: readonly Uint8Array[]): Parcel {
  const bytes = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return { sizes: parts.map((part) => part.length), bytes };
}

export function unpacked({ sizes, bytes }: Parcel): Uint8Array[] {
  let at = 0;
  return sizes.map((size) => {
    at += size;
    return bytes.subarray(at - size, at);
  });
}
