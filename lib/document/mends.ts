import type { z } from 'zod';
import { MOST_STEP_SECONDS } from '../song';

interface Range {
  readonly subject: string;
  readonly from: number;
  /** Null: no end. */
  readonly to: number | null;
  readonly unit?: string;
  readonly whole?: true;
}

/** What numbers people may give, by field. The tests hold each row against what the edits take and refuse. */
export const RANGES: Readonly<Record<string, Range>> = {
  tempo: { subject: 'A tempo', from: 10, to: 600, unit: 'quarter notes a minute' },
  ratio: { subject: 'Swing', from: 1, to: 4, unit: 'to 1' },
  transposition: { subject: 'A transposition', from: -12, to: 12, unit: 'semitones', whole: true },
  stanza: { subject: 'A stanza', from: 1, to: 60, whole: true },
  ending: { subject: 'An ending', from: 1, to: 99, whole: true },
  endings: { subject: 'An ending', from: 1, to: 99, whole: true },
  midi: { subject: 'A pitch', from: 0, to: 127, unit: '(60 is middle C)', whole: true },
  ticks: {
    subject: 'A length',
    from: 1,
    to: 10_000_000,
    unit: 'ticks (a quarter note has 960)',
    whole: true,
  },
  offset: { subject: 'A place in a bar', from: 0, to: 10_000_000, unit: 'ticks', whole: true },
  count: { subject: 'A meter’s count of beats', from: 1, to: 64, whole: true },
  capo: { subject: 'A capo', from: 0, to: 11, unit: '(0 is none)', whole: true },
  fifthCapo: { subject: 'The fifth string’s capo', from: 0, to: 11, unit: '(0 is none)', whole: true },
  comfortEighthsPerMinute: { subject: 'Ease', from: 20, to: 2000, unit: 'eighth notes a minute' },
  spanMillimetres: { subject: 'A hand’s span', from: 40, to: 300, unit: 'millimetres' },
  ink: { subject: 'An ink', from: 0, to: 7, whole: true },
  time: { subject: 'A time', from: 0, to: null, unit: 'seconds' },
  from: { subject: 'A space’s start', from: -1_000_000, to: 1_000_000, unit: 'ticks', whole: true },
  to: { subject: 'A space’s end', from: -1_000_000, to: 1_000_000, unit: 'ticks', whole: true },
  low: { subject: 'A lowest note', from: 0, to: 127, unit: '(60 is middle C)', whole: true },
  high: { subject: 'A highest note', from: 0, to: 127, unit: '(60 is middle C)', whole: true },
  energy: { subject: 'A song’s energy', from: 1, to: 5, whole: true },
  talkSeconds: { subject: 'Talk', from: 0, to: 3600, unit: 'seconds' },
  linkBars: { subject: 'A link', from: 0, to: 64, unit: 'bars', whole: true },
  openShare: { subject: 'The share left open', from: 0, to: 1 },
  microphoneInSeconds: {
    subject: 'The way in to the microphone',
    from: 0,
    to: MOST_STEP_SECONDS,
    unit: 'seconds',
  },
  microphoneOutSeconds: {
    subject: 'The way out from the microphone',
    from: 0,
    to: MOST_STEP_SECONDS,
    unit: 'seconds',
  },
  string: { subject: 'A string', from: 0, to: 12, unit: '(0 for a voice)', whole: true },
  fret: { subject: 'A fret', from: 0, to: 36, unit: '(0 is the open string)', whole: true },
  finger: { subject: 'A finger', from: 0, to: 4, unit: '(0 is none)', whole: true },
};

const number = (value: number): string =>
  value < 0 ? `−${number(-value)}` : value.toLocaleString('en-US', { useGrouping: value >= 10_000 });

export function rangeInWords({ subject, from, to, unit, whole }: Range): string {
  const after = unit ? ` ${unit}` : '';
  if (to === null) return `${subject} is ${number(from)}${after} or more`;
  return `${subject} ${whole ? 'is a whole number' : 'lies'} between ${number(from)} and ${number(to)}${after}`;
}

const SIGNS: Readonly<Record<string, string>> = {
  tonic: 'A key is named by its letter, with # or b where it has one: G, F#, Bb',
  unit: 'A meter counts halves, quarters, eighths or the like: 1, 2, 4, 8, 16 or 32',
};

/** What to do about something that cannot be taken, in words for people: about its first fault. */
export function mendOf(what: string, error: z.ZodError): string {
  const [issue] = error.issues;
  if (!issue) return 'Change it and try again';
  const names = issue.path.filter((step) => typeof step === 'string');
  const field = names.at(-1) ?? what.replace(/^the /, '');
  const range = RANGES[field];
  if (range && !(issue.code === 'too_big' && issue.origin === 'array')) return rangeInWords(range);
  const own = SIGNS[field];
  if (own !== undefined) return own;
  switch (issue.code) {
    case 'too_big':
      return issue.origin === 'string'
        ? `Shorten it to ${number(Number(issue.maximum))} signs`
        : `At most ${number(Number(issue.maximum))} are possible: take some away`;
    case 'too_small':
      return issue.origin === 'string' ? 'Write something here' : 'Add one first';
    case 'invalid_value':
      return `Choose one of these: ${issue.values.map(String).join(', ')}`;
    case 'invalid_type':
      return issue.input === undefined ? 'It is missing: say it' : 'Give it as the page asks for it';
    default:
      return 'Change it and try again';
  }
}
