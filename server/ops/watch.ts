import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Clock, Store, StoreEvents } from '../ports';
import type { Log } from './log';
import type { Counted, Metrics } from './metrics';

/** For so long an answer about the store's health is given again, in milliseconds. */
const HEALTH_LASTS = 2000;
/** For so long an edit that could not be kept counts, where none could be kept since. */
const REFUSAL_LASTS = 60_000;

export interface WatchOptions {
  readonly log: Log;
  readonly metrics: Metrics;
  readonly clock: Clock;
}

/**
 * What can be asked of a running server about itself: `/api/health` for whoever asks, `/api/metrics` for this machine
 * alone. It keeps the server's log and its numbers.
 */
export class Watch {
  /** What it wants to hear from the store. */
  readonly events: StoreEvents;
  readonly #log: Log;
  readonly #metrics: Metrics;
  readonly #clock: Clock;
  #store: Store | null = null;
  #health: { readonly at: number; readonly well: Promise<boolean> } | null = null;
  #refusedAt: number | null = null;
  #stopping = false;

  constructor({ log, metrics, clock }: WatchOptions) {
    this.#log = log;
    this.#metrics = metrics;
    this.#clock = clock;
    this.events = {
      ...metrics.store,
      committed: (updates, milliseconds) => {
        this.#refusedAt = null;
        metrics.store.committed?.(updates, milliseconds);
      },
      refused: (updates) => {
        if (this.#refusedAt === null) log.error({ updates }, 'edits could not be kept');
        this.#refusedAt = clock();
        metrics.store.refused?.(updates);
      },
      damaged: (damage) => {
        log.error({ damage }, 'a damaged row was set aside');
        metrics.store.damaged?.(damage);
      },
    };
  }

  /** Something went wrong on our side. */
  readonly report = (error: unknown): void => {
    this.#metrics.fault();
    this.#log.error({ err: error }, 'went wrong');
  };

  /** The store is open; from here on the server can be well. */
  over(store: Store): void {
    this.#store = store;
  }

  count(counted: Counted): void {
    this.#metrics.count(counted);
  }

  /** From here on the server says that it is not well: whoever sends people here should send them elsewhere. */
  stopping(): void {
    this.#stopping = true;
  }

  /** Counts a request; true where it is answered from here. */
  takes(request: IncomingMessage, response: ServerResponse, path: string): boolean {
    const kind =
      path === '/api' || path.startsWith('/api/') ? 'api' : path.startsWith('/_next/') ? 'file' : 'page';
    response.once('finish', () => this.#metrics.request(kind, response.statusCode));
    if (path !== '/api/health' && path !== '/api/metrics') return false;
    if (request.method !== 'GET') return false;
    const done =
      path === '/api/health' ? this.#answerHealth(response) : this.#answerMetrics(request, response);
    done.catch((error: unknown) => {
      this.report(error);
      response.destroy();
    });
    return true;
  }

  async #answerHealth(response: ServerResponse): Promise<void> {
    const why = await this.#whyNotWell();
    const body = JSON.stringify(why === null ? { well: true } : { well: false, why });
    answer(response, why === null ? 200 : 503, 'application/json', body);
  }

  async #whyNotWell(): Promise<'starting' | 'stopping' | 'not kept' | null> {
    if (this.#stopping) return 'stopping';
    if (this.#store === null) return 'starting';
    const refused = this.#refusedAt !== null && Math.abs(this.#clock() - this.#refusedAt) < REFUSAL_LASTS;
    return refused || !(await this.#canKeep(this.#store)) ? 'not kept' : null;
  }

  /** Whether something could be written now: tried out, and not more often than every two seconds. */
  #canKeep(store: Store): Promise<boolean> {
    const now = this.#clock();
    if (this.#health === null || Math.abs(now - this.#health.at) > HEALTH_LASTS) {
      const well = store.probe().then(
        () => true,
        (error: unknown) => {
          this.report(error);
          return false;
        },
      );
      this.#health = { at: now, well };
    }
    return this.#health.well;
  }

  async #answerMetrics(request: IncomingMessage, response: ServerResponse): Promise<void> {
    if (!isFromHere(request))
      return answer(response, 404, 'text/plain', 'There is nothing here by that name.');
    const { registry } = this.#metrics;
    answer(response, 200, registry.contentType, await registry.metrics());
  }
}

function answer(response: ServerResponse, status: number, type: string, body: string): void {
  response.writeHead(status, { 'Content-Type': type, 'Cache-Control': 'no-store' });
  response.end(body);
}

const HERE = /^(::1|(::ffff:)?127\.\d+\.\d+\.\d+)$/;

/** From this machine, and not handed on from elsewhere by a proxy on it. */
export function isFromHere({ headers, socket }: IncomingMessage): boolean {
  const handedOn = Object.keys(headers).some(
    (name) =>
      name.startsWith('x-forwarded-') || name === 'forwarded' || name === 'via' || name === 'x-real-ip',
  );
  return !handedOn && HERE.test(socket.remoteAddress ?? '');
}
