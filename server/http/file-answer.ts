import type { ServerResponse } from 'node:http';

/** An answer that is taken along as a file. */
export class FileAnswer {
  readonly name: string;
  readonly type: string;
  readonly bytes: Uint8Array;

  /** @param name with its ending, in any script; @param type the whole Content-Type */
  constructor(name: string, type: string, bytes: Uint8Array) {
    this.name = name;
    this.type = type;
    this.bytes = bytes;
  }
}

export function sendFile(response: ServerResponse, { name, type, bytes }: FileAnswer): void {
  response.setHeader('Content-Type', type);
  response.setHeader('Content-Length', bytes.byteLength);
  response.setHeader('Content-Disposition', attachmentNamed(name));
  response.end(bytes);
}

/**
 * To be kept under a name: as it is in UTF-8, and in plain letters for who reads no other. Sources: RFC 6266, sections 4.1 and 4.3; RFC 8187,
 * section 3.2.1 (what may stand unencoded).
 */
export function attachmentNamed(name: string): string {
  const letters = name
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .replace(/[^\x20-\x7e]|["\\%]/gu, '_');
  const encoded = encodeURIComponent(name).replace(
    /['()*]/g,
    (sign) => `%${sign.charCodeAt(0).toString(16).toUpperCase()}`,
  );
  return `attachment; filename="${letters}"; filename*=UTF-8''${encoded}`;
}
