import { fail, ok, type Result } from '../lib/base';
import { LEVELS, type Level } from './ops';

export interface Settings {
  readonly port: number;
  /** The address to listen on; null: all. */
  readonly host: string | null;
  /** Where everything is kept, from the project's folder. */
  readonly data: string;
  readonly dev: boolean;
  /** Proxies of our own that stand before the server and say in `X-Forwarded-…` who asks. */
  readonly trustedProxies: number;
  /** From which level on the log is written. */
  readonly log: Level;
}

/** `--port N` before PORT before 3000; BREATHMARK_DATA; BREATHMARK_HOST; BREATHMARK_TRUST_PROXY; BREATHMARK_LOG; `--dev`. */
export function readSettings(
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
): Result<Settings> {
  let port = env.PORT ?? '3000';
  let dev = false;
  for (let i = 0; i < args.length; i++) {
    const arg = args[i];
    if (arg === '--dev') dev = true;
    else if (arg?.startsWith('--port=')) port = arg.slice('--port='.length);
    else if (arg === '--port') port = args[++i] ?? '';
    else return fail(`There is no option ${arg}`, 'the command', 'use npm start, or npm start -- --port N');
  }
  if (!/^\d{1,5}$/.test(port) || Number(port) < 1 || Number(port) > 65535)
    return fail(`'${port}' is not a port`, '--port', 'give a number from 1 to 65535');
  const proxies = env.BREATHMARK_TRUST_PROXY || '0';
  if (!/^\d$/.test(proxies))
    return fail(
      `'${proxies}' is not a number of proxies`,
      'BREATHMARK_TRUST_PROXY',
      'give how many proxies of your own stand before Breathmark, from 0 to 9; 1 is usual',
    );
  const level = env.BREATHMARK_LOG || 'info';
  const log = LEVELS.find((known) => known === level);
  if (log === undefined)
    return fail(`'${level}' is no level of the log`, 'BREATHMARK_LOG', `give one of ${LEVELS.join(', ')}`);
  return ok({
    port: Number(port),
    host: env.BREATHMARK_HOST || null,
    data: env.BREATHMARK_DATA || 'data',
    dev,
    trustedProxies: Number(proxies),
    log,
  });
}
