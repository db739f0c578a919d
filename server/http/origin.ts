import type { IncomingMessage } from 'node:http';

/** What can be said of where a request comes from. */
export interface Origins {
  /** The address that asks, for counting: an IPv6 one stands for its whole /64, which is what one household is given. */
  addressOf(request: IncomingMessage): string;
  /**
   * Whether a request comes from a page of our own. Browsers say so in `Sec-Fetch-Site` or `Origin` and pages cannot
   * forge either; programs that are no browsers say neither and carry no cookie of somebody else's.
   */
  fromOwnPage(request: IncomingMessage): boolean;
  /** Whether the one who asks speaks TLS with us, or with a proxy of ours. */
  isSecure(request: IncomingMessage): boolean;
}

/**
 * `trustedProxies`: how many proxies of our own stand before the server. Each adds to `X-Forwarded-For` the address that it
 * was asked from, so that many entries, counted from the end, are theirs; what stands before was written by who asks and
 * is not believed. Where there are none, no forwarded header is believed.
 */
export function originsBehind(trustedProxies: number): Origins {
  const forwarded = (request: IncomingMessage, what: 'for' | 'host' | 'proto'): string | undefined => {
    if (trustedProxies === 0) return undefined;
    const value = request.headers[`x-forwarded-${what}`];
    const entries = (Array.isArray(value) ? value.join(',') : (value ?? ''))
      .split(',')
      .map((entry) => entry.trim())
      .filter((entry) => entry !== '');
    return entries[Math.max(0, entries.length - trustedProxies)];
  };

  return {
    addressOf: (request) =>
      forBlock(forwarded(request, 'for') ?? request.socket.remoteAddress ?? 'unknown').slice(0, 64),

    fromOwnPage(request) {
      const site = request.headers['sec-fetch-site'];
      if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
      const { origin } = request.headers;
      if (origin === undefined) return true;
      const host = hostOf(origin);
      return host !== null && [request.headers.host, forwarded(request, 'host')].includes(host);
    },

    isSecure: (request) => 'encrypted' in request.socket || forwarded(request, 'proto') === 'https',
  };
}

function hostOf(origin: string): string | null {
  try {
    return new URL(origin).host;
  } catch {
    return null;
  }
}

/** An IPv4 address as it is, also where it comes dressed as IPv6; of an IPv6 one its first four groups. */
function forBlock(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/i, '');
  if (!plain.includes(':')) return plain;
  const [head = '', tail] = plain.split('::');
  const front = head === '' ? [] : head.split(':');
  const back = tail === undefined || tail === '' ? [] : tail.split(':');
  const filled = tail === undefined ? 0 : Math.max(0, 8 - front.length - back.length);
  const groups = [...front, ...Array.from({ length: filled }, () => '0'), ...back];
  return `${groups
    .slice(0, 4)
    .map((group) => group.toLowerCase().replace(/^0+(?=.)/, ''))
    .join(':')}::/64`;
}
