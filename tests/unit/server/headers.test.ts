import type { IncomingMessage } from 'node:http';
import { afterEach, describe, expect, it } from 'vitest';
import { originsBehind } from '../../../server/http';
import { pagePolicy } from '../../../server/http/headers';
import { TestServer } from './harness';

const directives = (policy: string) =>
  new Map(
    policy.split('; ').map((directive): [string, string] => {
      const [name = '', ...values] = directive.split(' ');
      return [name, values.join(' ')];
    }),
  );

describe('the policy of a page', () => {
  const policy = directives(pagePolicy('abc', { secure: true, dev: false }));

  // Source, from memory: W3C Content Security Policy Level 3, and its note on strict-dynamic: a nonce and
  // 'strict-dynamic', no 'unsafe-inline' and no 'unsafe-eval' for scripts, object-src and base-uri 'none'.
  it('lets scripts run by their nonce alone', () => {
    expect(policy.get('script-src')).toBe("'nonce-abc' 'strict-dynamic'");
    expect(policy.get('script-src-attr')).toBe("'none'");
    expect(policy.get('object-src')).toBe("'none'");
    expect(policy.get('base-uri')).toBe("'none'");
    expect(policy.get('default-src')).toBe("'none'");
    expect(policy.get('frame-ancestors')).toBe("'none'");
    expect(policy.has('upgrade-insecure-requests')).toBe(true);
  });

  it('reaches nobody but this server', () => {
    for (const [name, value] of policy) {
      for (const source of value.split(' '))
        expect([
          ...['', "'none'", "'self'", "'nonce-abc'", "'strict-dynamic'"],
          ...(name === 'img-src' ? ['data:'] : []),
          ...(name === 'style-src-attr' ? ["'unsafe-inline'"] : []),
        ]).toContain(source);
    }
  });
});

describe('answers', () => {
  let server: TestServer;
  afterEach(() => server.stop());

  it('of pages carry a nonce of their own each time, whatever the request says', async () => {
    server = await TestServer.start();
    const nonces = new Set<string>();
    for (let i = 0; i < 5; i++) {
      const { headers } = await server.ask('/', {
        headers: { 'X-Nonce': 'mine', 'Content-Security-Policy': "script-src 'nonce-mine'" },
      });
      const nonce = /'nonce-([^']+)'/.exec(headers.get('content-security-policy') ?? '')?.[1] ?? '';
      // 128 bits.
      expect(Buffer.from(nonce, 'base64')).toHaveLength(16);
      nonces.add(nonce);
    }
    expect(nonces.size).toBe(5);
  });

  it('that are data can do nothing if they are opened as a page', async () => {
    server = await TestServer.start();
    const { headers } = await server.ask('/api/health');
    const policy = directives(headers.get('content-security-policy') ?? '');
    expect([policy.get('default-src'), policy.has('sandbox')]).toEqual(["'none'", true]);
    expect(headers.get('content-type')).toMatch(/^application\/json/);
  });

  it('say nothing of the server, allow no frame, no referrer, no device', async () => {
    server = await TestServer.start();
    const { headers } = await server.ask('/');
    expect(headers.get('server')).toBeNull();
    expect(headers.get('x-powered-by')).toBeNull();
    expect(headers.get('x-frame-options')).toBe('DENY');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
    expect(headers.get('cross-origin-opener-policy')).toBe('same-origin');
    expect(headers.get('cross-origin-resource-policy')).toBe('same-origin');
    for (const feature of ['camera', 'microphone', 'geolocation', 'payment', 'usb'])
      expect(headers.get('permissions-policy')).toContain(`${feature}=()`);
    expect(headers.get('access-control-allow-origin')).toBeNull();
  });

  it('over TLS bind cookie and browser to TLS, where a proxy of ours says that it is', async () => {
    server = await TestServer.start({ trustedProxies: 1 });
    const tls = { 'X-Forwarded-Proto': 'https' };
    const made = await server.ask('/api/bands', { body: { name: 'x' }, headers: tls });
    expect(made.headers.get('set-cookie')).toMatch(/^__Host-breathmark=.*; HttpOnly; SameSite=Lax; Secure$/);
    expect(made.headers.get('strict-transport-security')).toMatch(/^max-age=\d+$/);
    const plain = await server.ask('/api/bands', { body: { name: 'x' } });
    expect(plain.headers.get('set-cookie')).toMatch(/^breathmark=/);
    expect(plain.headers.get('strict-transport-security')).toBeNull();
  });

  it('believe no forwarded header where no proxy is trusted', async () => {
    server = await TestServer.start();
    const made = await server.ask('/api/bands', {
      body: { name: 'x' },
      headers: { 'X-Forwarded-Proto': 'https', 'X-Forwarded-For': '203.0.113.9' },
    });
    expect(made.headers.get('set-cookie')).toMatch(/^breathmark=/);
    const forged = await server.ask('/api/bands', {
      body: { name: 'x' },
      headers: { Origin: 'https://evil.example', 'X-Forwarded-Host': 'evil.example' },
    });
    expect([forged.status, forged.body.error.code]).toEqual([403, 'other page']);
  });
});

describe('the address that is counted', () => {
  const request = (remoteAddress: string, forwarded?: string): IncomingMessage =>
    ({
      headers: forwarded === undefined ? {} : { 'x-forwarded-for': forwarded },
      socket: { remoteAddress },
      // A request has much more; these are the parts that are looked at.
    }) as unknown as IncomingMessage;

  // Addresses for documentation. Source, from memory: RFC 5737 and RFC 3849.
  it.each([
    [0, '192.0.2.1', undefined, '192.0.2.1'],
    [0, '192.0.2.1', '203.0.113.9', '192.0.2.1'],
    [0, '::ffff:192.0.2.1', undefined, '192.0.2.1'],
    [1, '192.0.2.1', '203.0.113.9', '203.0.113.9'],
    // What stands before the last entry was written by who asks.
    [1, '192.0.2.1', '198.51.100.7, 203.0.113.9', '203.0.113.9'],
    [2, '192.0.2.1', '198.51.100.7, 203.0.113.9', '198.51.100.7'],
    [2, '192.0.2.1', '203.0.113.9', '203.0.113.9'],
    [1, '192.0.2.1', ' , ', '192.0.2.1'],
    [0, '2001:db8:1:2:3:4:5:6', undefined, '2001:db8:1:2::/64'],
    [0, '2001:db8:1:2::9', undefined, '2001:db8:1:2::/64'],
    [0, '2001:0DB8:0001:0002:ffff::', undefined, '2001:db8:1:2::/64'],
    [0, '2001:db8::1', undefined, '2001:db8:0:0::/64'],
    [0, '::1', undefined, '0:0:0:0::/64'],
  ])('behind %i proxies, from %s forwarded for %s is %s', (proxies, remote, forwarded, counted) => {
    expect(originsBehind(proxies).addressOf(request(remote, forwarded))).toBe(counted);
  });

  it('is short, whatever it is said to be', () => {
    expect(originsBehind(1).addressOf(request('192.0.2.1', 'x'.repeat(5000))).length).toBeLessThan(100);
  });
});
