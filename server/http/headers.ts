import type { IncomingMessage, ServerResponse } from 'node:http';

const HEADERS: readonly (readonly [string, string])[] = [
  ['X-Content-Type-Options', 'nosniff'],
  ['Referrer-Policy', 'no-referrer'],
  ['X-Frame-Options', 'DENY'],
  ['Cross-Origin-Opener-Policy', 'same-origin'],
  ['Cross-Origin-Resource-Policy', 'same-origin'],
  ['Origin-Agent-Cluster', '?1'],
  ['X-DNS-Prefetch-Control', 'off'],
  ['X-Permitted-Cross-Domain-Policies', 'none'],
  [
    'Permissions-Policy',
    [
      ...['accelerometer', 'camera', 'display-capture'],
      ...['encrypted-media', 'geolocation', 'gyroscope', 'hid', 'idle-detection'],
      ...['local-fonts', 'magnetometer', 'microphone', 'midi', 'payment', 'publickey-credentials-get'],
      ...['screen-wake-lock', 'serial', 'usb', 'xr-spatial-tracking'],
    ]
      .map((feature) => `${feature}=${feature === 'screen-wake-lock' ? '(self)' : '()'}`)
      .join(', '),
  ],
];

/** Data are not to be drawn: whatever were to open one of them as a page could do nothing in it. */
const DATA_POLICY =
  "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'; sandbox";
const HALF_A_YEAR = 180 * 24 * 60 * 60;

export interface HeaderOptions {
  readonly secure: boolean;
  /** Serving from the sources: scripts are then made on the spot, and changes come by a socket. */
  readonly dev: boolean;
}

/** The headers of every answer, pages and data alike; pages get a policy of their own by `allowPage`. */
export function setHeaders(response: ServerResponse, { secure }: { readonly secure: boolean }): void {
  for (const [name, value] of HEADERS) response.setHeader(name, value);
  response.setHeader('Content-Security-Policy', DATA_POLICY);
  if (secure) response.setHeader('Strict-Transport-Security', `max-age=${HALF_A_YEAR}`);
}

/**
 * The policy under which a page runs: scripts that carry this answer's nonce and what those load, styles from here or with
 * the nonce, and nothing from anywhere else. `style` attributes in the markup have to be allowed, because the board
 * places words along their beats by them; an attribute can neither run anything nor, with images and fonts from here
 * alone, carry anything away.
 */
export function pagePolicy(nonce: string, { secure, dev }: HeaderOptions): string {
  return [
    "default-src 'none'",
    `script-src 'nonce-${nonce}' 'strict-dynamic'${dev ? " 'unsafe-eval'" : ''}`,
    "script-src-attr 'none'",
    `style-src 'self' ${dev ? "'unsafe-inline'" : `'nonce-${nonce}'`}`,
    "style-src-attr 'unsafe-inline'",
    "img-src 'self' data:",
    "font-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "media-src 'self'",
    "object-src 'none'",
    "frame-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
    ...(secure ? ['upgrade-insecure-requests'] : []),
  ].join('; ');
}

/** Puts the page's policy on the answer, and on the request, from which the pages' own scripts take their nonce. */
export function allowPage(
  request: IncomingMessage,
  response: ServerResponse,
  nonce: string,
  options: HeaderOptions,
): void {
  const policy = pagePolicy(nonce, options);
  response.setHeader('Content-Security-Policy', policy);
  request.headers['content-security-policy'] = policy;
  request.headers['x-nonce'] = nonce;
  // Of no use here, and no guest's to set.
  delete request.headers['content-security-policy-report-only'];
}
