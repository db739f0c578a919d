import type { IncomingMessage, ServerResponse } from 'node:http';
import { RateLimit } from '../access';
import type { Clock } from '../ports';
import type { Origins } from './origin';

export interface PageGateOptions {
  readonly origins: Origins;
  readonly clock: Clock;
  /** Serving from the sources, whose tools talk with the server in ways of their own. */
  readonly dev: boolean;
}

/** What comes before a page is drawn: pages are only read, at addresses that are text, and not without end. */
export class PageGate {
  readonly #origins: Origins;
  readonly #dev: boolean;
  readonly #drawn: RateLimit;

  constructor({ origins, clock, dev }: PageGateOptions) {
    this.#origins = origins;
    this.#dev = dev;
    this.#drawn = new RateLimit(600, 600, clock);
  }

  /** True where it has answered itself, with a refusal. */
  takes(request: IncomingMessage, response: ServerResponse, path: string): boolean {
    const refuse = (status: number, text: string): true => {
      response.writeHead(status, {
        'Content-Type': 'text/plain; charset=utf-8',
        'Cache-Control': 'no-store',
      });
      response.end(request.method === 'HEAD' ? undefined : text);
      if (!request.complete) request.resume();
      return true;
    };
    if (!isText(path)) return refuse(400, 'That is no address. Go back, and follow a link of the page.');
    if (this.#dev) return false;
    if (request.method !== 'GET' && request.method !== 'HEAD') {
      response.setHeader('Allow', 'GET, HEAD');
      return refuse(405, 'Pages are only read. Load the page again and retry.');
    }
    if (path.startsWith('/_next/static/')) return false;
    // The rest of what the pages' own frame would serve is not used here: it fetches and computes for whoever asks.
    if (path.startsWith('/_next/')) return refuse(404, 'There is nothing here by that name.');
    if (!this.#drawn.take(this.#origins.addressOf(request)))
      return refuse(
        429,
        'That is more than the server takes in so short a time. Wait a minute, then try again.',
      );
    return false;
  }
}

function isText(path: string): boolean {
  try {
    return !/\p{Cc}/u.test(decodeURIComponent(path));
  } catch {
    return false;
  }
}
