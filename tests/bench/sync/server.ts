import { type ChildProcess, fork } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import { builtScript } from './built';
import type { Door, Peer } from './peers';
import type { Question } from './probe';

const spentSchema = z.object({ cpuSeconds: z.number() });
const holdsSchema = z.object({ resident: z.number(), objects: z.number() });
const standsSchema = z.object({ cookie: z.string().nullable() });

const freePort = (): Promise<number> =>
  new Promise((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => done(typeof address === 'object' && address ? address.port : 0));
    });
  });

/** So many readings one after the other that do not fall. */
const STEADY = 4;

/** One server in a process of its own. */
export class Served {
  readonly door: Door;
  readonly #child: ChildProcess;
  readonly #folder: string;

  private constructor(door: Door, child: ChildProcess, folder: string) {
    this.door = door;
    this.#child = child;
    this.#folder = folder;
  }

  static async start(peer: Peer, rooms: number): Promise<Served> {
    const folder = mkdtempSync(join(tmpdir(), 'breathmark-bench-'));
    const port = await freePort();
    const child = fork(await builtScript(peer.script), [String(port), folder, String(rooms)], {
      execArgv: ['--expose-gc'],
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    const { cookie: told } = standsSchema.parse(await answer(child));
    const [bandId = '', cookie = null] = told?.split(' ') ?? [];
    return new Served({ port, cookie, bandId }, child, folder);
  }

  async #ask(question: Question): Promise<unknown> {
    const answered = answer(this.#child);
    this.#child.send(question);
    return answered;
  }

  /** Seconds of processor time since it began. */
  async spent(): Promise<number> {
    return spentSchema.parse(await this.#ask('spent')).cpuSeconds;
  }

  /** Bytes, once what people have left behind is gone: the least of readings that have stopped falling. */
  async settles(): Promise<z.infer<typeof holdsSchema>> {
    let least = await this.holds();
    for (let steady = 0; steady < STEADY; ) {
      await new Promise((done) => setTimeout(done, 300));
      const now = await this.holds();
      steady = now.objects < least.objects * 0.999 ? 0 : steady + 1;
      if (now.objects < least.objects) least = now;
    }
    return least;
  }

  /** Bytes. */
  async holds(): Promise<z.infer<typeof holdsSchema>> {
    return holdsSchema.parse(await this.#ask('holds'));
  }

  async stop(): Promise<void> {
    const gone = new Promise((done) => this.#child.once('exit', done));
    this.#child.kill('SIGKILL');
    await gone;
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

function answer(child: ChildProcess): Promise<unknown> {
  return new Promise((done, broken) => {
    const onExit = () => broken(new Error('a server has ended by itself'));
    child.once('exit', onExit);
    child.once('message', (message) => {
      child.off('exit', onExit);
      done(message);
    });
  });
}
