import { type DestinationStream, type Logger, pino } from 'pino';

export type Log = Logger;

export const LEVELS = ['silent', 'error', 'warn', 'info', 'debug'] as const;
export type Level = (typeof LEVELS)[number];

/**
 * Secrets of links, cookies and signatures are runs of 32 signs or more of base64; our own ids are 14. Addresses are of
 * no use to whoever reads a log of this server, and somebody's own affair.
 */
const HIDDEN: readonly (readonly [RegExp, string])[] = [
  [/[A-Za-z0-9_-]{32,}/g, '[hidden]'],
  [/#[^\s'"]{16,}/g, '#[hidden]'],
  [/\b(?:\d{1,3}\.){3}\d{1,3}\b/g, '[address]'],
  [/(?<![\w:])(?:[0-9a-f]{0,4}:){2,7}[0-9a-f]{1,4}(?![\w:])/gi, '[address]'],
];

/** A text without what could let anybody in or say who somebody is. */
export const scrubbed = (text: string): string =>
  HIDDEN.reduce((left, [pattern, instead]) => left.replace(pattern, instead), text);

function errorOf(error: unknown): Record<string, unknown> {
  if (!(error instanceof Error)) return { message: scrubbed(String(error)) };
  return {
    type: error.constructor.name,
    message: scrubbed(error.message),
    ...('code' in error && typeof error.code === 'string' ? { code: error.code } : {}),
    stack: scrubbed(error.stack ?? ''),
    ...(error.cause === undefined ? {} : { cause: errorOf(error.cause) }),
  };
}

/**
 * One line of JSON for each event, by default on standard error. There is no line for a request or an edit: they are
 * counted, and what goes wrong with them is told here. Everything that comes in as text is scrubbed.
 */
export function makeLog(
  level: Level,
  to: DestinationStream = pino.destination({ dest: 2, sync: true }),
): Log {
  return pino(
    {
      level,
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      formatters: {
        level: (label) => ({ level: label }),
        log: (fields) =>
          Object.fromEntries(
            Object.entries(fields).map(([key, value]) => [
              key,
              typeof value === 'string' ? scrubbed(value) : value,
            ]),
          ),
      },
      serializers: { err: errorOf },
      hooks: {
        logMethod(args, method) {
          const [first, second] = args;
          if (typeof first === 'string') args[0] = scrubbed(first);
          if (typeof second === 'string') args[1] = scrubbed(second);
          method.apply(this, args);
        },
      },
    },
    to,
  );
}
