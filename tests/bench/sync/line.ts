import { randomBytes } from 'node:crypto';
import { connect, type Socket } from 'node:net';

const BINARY = 2;
const CLOSE = 8;
const PING = 9;
const PONG = 10;
const FINAL = 0x80;
const MASKED = 0x80;

/**
 * A WebSocket client as light as it can be, so that the load does not tire before the server does: it hands on the bytes
 * as they came and looks at frames only to answer pings. Source: RFC 6455, sections 4.1 and 5.2.
 */
export class Line {
  readonly #socket: Socket;
  readonly #onBytes: (bytes: Buffer) => void;
  #onMessage: ((message: Buffer) => void) | null;
  #onEnd: (why: string) => void;
  #rest: Buffer | null = null;
  #shakenHands = false;

  /** `onMessage` is called for each whole message until `quiet`; `onBytes` for whole frames, several at a time. */
  constructor(
    url: string,
    headers: Readonly<Record<string, string>>,
    on: { open(): void; bytes(bytes: Buffer): void; message(message: Buffer): void; end(why: string): void },
  ) {
    const { hostname, port, pathname, host } = new URL(url);
    this.#onBytes = on.bytes;
    this.#onMessage = on.message;
    this.#onEnd = on.end;
    this.#socket = connect(Number(port), hostname);
    this.#socket.setNoDelay(true);
    const lines = {
      Host: host,
      Connection: 'Upgrade',
      Upgrade: 'websocket',
      'Sec-WebSocket-Version': '13',
      'Sec-WebSocket-Key': randomBytes(16).toString('base64'),
      ...headers,
    };
    const head = Object.entries(lines).map(([name, value]) => `${name}: ${value}\r\n`);
    this.#socket.write(`GET ${pathname} HTTP/1.1\r\n${head.join('')}\r\n`);
    this.#socket.on('data', (chunk) => {
      const bytes = this.#rest === null ? chunk : Buffer.concat([this.#rest, chunk]);
      this.#rest = null;
      if (this.#shakenHands) this.#read(bytes);
      else this.#shakeHands(bytes, on.open);
    });
    this.#socket.on('error', (error) => this.#onEnd(error.message));
    this.#socket.on('close', () => this.#onEnd('closed'));
  }

  #shakeHands(bytes: Buffer, open: () => void): void {
    const end = bytes.indexOf('\r\n\r\n');
    if (end < 0) {
      this.#rest = bytes;
      return;
    }
    const status = bytes.toString('latin1', 0, end).split('\r\n')[0] ?? '';
    if (!status.includes(' 101 ')) {
      this.#onEnd(status);
      return;
    }
    this.#shakenHands = true;
    open();
    if (bytes.length > end + 4) this.#read(bytes.subarray(end + 4));
  }

  #read(bytes: Buffer): void {
    let at = 0;
    for (;;) {
      const frame = frameAt(bytes, at);
      if (frame === null) break;
      const { code, from, to } = frame;
      if (code === PING) this.#write(PONG, bytes.subarray(from, to));
      else if (code === CLOSE) this.#onEnd(`refused: ${bytes.readUInt16BE(from)}`);
      else if (this.#onMessage !== null) this.#onMessage(bytes.subarray(from, to));
      at = to;
    }
    if (at > 0) this.#onBytes(at === bytes.length ? bytes : bytes.subarray(0, at));
    if (at < bytes.length) this.#rest = bytes.subarray(at);
  }

  /** No single messages any more. */
  quiet(): void {
    this.#onMessage = null;
  }

  send(message: Uint8Array): void {
    this.#write(BINARY, message);
  }

  /** Masked by nothing: the mask is there, and all zeros. */
  #write(code: number, body: Uint8Array): void {
    const { length } = body;
    const head = length < 126 ? 2 : 4;
    const frame = Buffer.alloc(head + 4 + length);
    frame[0] = FINAL | code;
    frame[1] = MASKED | (head === 2 ? length : 126);
    if (head === 4) frame.writeUInt16BE(length, 2);
    frame.set(body, head + 4);
    this.#socket.write(frame);
  }

  end(): void {
    this.#onEnd = () => {};
    this.#socket.destroy();
  }
}

/** The whole frame that begins there; null where it has not all come. */
function frameAt(bytes: Buffer, at: number): { code: number; from: number; to: number } | null {
  if (bytes.length < at + 2) return null;
  const code = (bytes[at] ?? 0) & 0x0f;
  const short = (bytes[at + 1] ?? 0) & 0x7f;
  const head = short < 126 ? 2 : short === 126 ? 4 : 10;
  if (bytes.length < at + head) return null;
  const length =
    head === 2 ? short : head === 4 ? bytes.readUInt16BE(at + 2) : Number(bytes.readBigUInt64BE(at + 2));
  const to = at + head + length;
  return bytes.length < to ? null : { code, from: at + head, to };
}
