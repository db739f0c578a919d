import { describe, expect, it } from 'vitest';
import { readSettings } from '../../../server/settings';

describe('the settings', () => {
  it('have defaults, and the command goes before the environment', () => {
    const plain = { port: 3000, host: null, data: 'data', dev: false, trustedProxies: 0, log: 'info' };
    expect(readSettings([], {})).toEqual({ ok: true, value: plain });
    expect(readSettings([], { PORT: '8080', BREATHMARK_DATA: '/srv/b' })).toMatchObject({
      value: { port: 8080, data: '/srv/b' },
    });
    expect(readSettings(['--port', '4000'], { PORT: '8080' })).toMatchObject({ value: { port: 4000 } });
    expect(readSettings(['--port=4000', '--dev'], {})).toMatchObject({ value: { port: 4000, dev: true } });
  });

  it('count the proxies that may say who asks', () => {
    expect(readSettings([], { BREATHMARK_TRUST_PROXY: '1' })).toMatchObject({ value: { trustedProxies: 1 } });
    for (const BREATHMARK_TRUST_PROXY of ['yes', '-1', '10', '1.5'])
      expect(readSettings([], { BREATHMARK_TRUST_PROXY }).ok).toBe(false);
  });

  it('say how much is logged', () => {
    expect(readSettings([], { BREATHMARK_LOG: 'silent' })).toMatchObject({ value: { log: 'silent' } });
    expect(readSettings([], { BREATHMARK_LOG: 'loud' })).toMatchObject({
      ok: false,
      error: { where: 'BREATHMARK_LOG' },
    });
  });

  it.each([
    [['--port', '0']],
    [['--port', '65536']],
    [['--port', 'abc']],
    [['--port']],
    [['--port', '-1']],
    [['--prot', '3000']],
  ])('%j says what is wrong and what to do', (args) => {
    const read = readSettings(args, {});
    if (read.ok) throw new Error('it was taken');
    expect(read.error.what).toMatch(/\S/);
    expect(read.error.mend).toMatch(/\S/);
  });
});
