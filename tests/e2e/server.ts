import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Ports that runs side by side do not share. */
let nextPort = 20_000 + ((process.pid * 7) % 20_000);

/** A server of a test's own on the built program, which can be stopped and started again over the same data. */
export class OwnServer {
  readonly #data = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
  readonly #port: number;
  #running: ChildProcess | null = null;

  constructor() {
    this.#port = nextPort++;
  }

  get origin(): string {
    return `http://localhost:${this.#port}`;
  }

  async start(): Promise<void> {
    const server = spawn(process.execPath, ['server/start.mjs', '--port', String(this.#port)], {
      env: { ...process.env, BREATHMARK_DATA: this.#data },
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    this.#running = server;
    await new Promise<void>((resolve, reject) => {
      server.once('exit', (code) => reject(new Error(`the server ended with ${code}`)));
      server.stdout.on('data', (said: Buffer) => {
        if (said.toString().includes(this.origin)) resolve();
      });
    });
  }

  /** `SIGTERM` asks, `SIGKILL` does not. */
  async stop(signal: 'SIGTERM' | 'SIGKILL'): Promise<void> {
    const server = this.#running;
    this.#running = null;
    if (!server || server.exitCode !== null || server.signalCode !== null) return;
    const gone = new Promise<void>((resolve) => server.once('exit', () => resolve()));
    server.kill(signal);
    await gone;
  }

  async end(): Promise<void> {
    await this.stop('SIGKILL');
    rmSync(this.#data, { recursive: true, force: true });
  }
}
