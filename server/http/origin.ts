import type { IncomingMessage } from 'node:http';

/**
 * Whether a request comes from a page of our own. Browsers say so in `Sec-Fetch-Site` or `Origin` and pages cannot
 * forge either; programs that are no browsers say neither and carry no cookie of somebody else's.
 */
export function fromOwnPage(request: IncomingMessage): boolean {
  const site = request.headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
  const { origin } = request.headers;
  if (origin === undefined) return true;
  const host = hostOf(origin);
  return host !== null && [request.headers.host, forwarded(request, 'host')].includes(host);
}

function hostOf(origin: string): string | null {
  try {
    return new URL(origin).host;
  } catch {
    return null;
  }
}

/** Behind a proxy that speaks TLS, the cookie is for TLS only. */
export function isSecure(request: IncomingMessage): boolean {
  return forwarded(request, 'proto') === 'https';
}

/** A page cannot set these without being asked for leave first, so they may be believed where they widen nothing. */
function forwarded(request: IncomingMessage, what: 'host' | 'proto'): string | undefined {
  const value = request.headers[`x-forwarded-${what}`];
  return (Array.isArray(value) ? value[0] : value)?.split(',')[0]?.trim();
}

export const addressOf = (request: IncomingMessage): string => request.socket.remoteAddress ?? 'unknown';
