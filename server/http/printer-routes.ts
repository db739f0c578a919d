import { INSTRUMENTS } from '../../lib/instruments';
import { CHORD_WAYS, DENSITIES, PAPERS } from '../../lib/parts';
import { bookRequest, granted, LIMITS, type PageResult, refuse } from '../../lib/protocol';
import { RateLimit } from '../access';
import type { Clock } from '../ports';
import { readJson } from './body';
import type { CribFor } from './print-work';
import type { Look, Printer } from './printer';
import { type Call, plain, type Route } from './route';

const cookieOf = ({ request }: Call): string | null => request.headers.cookie ?? null;
const part = ({ parts }: Call, index: number): string => parts[index] ?? '';

/** What is taken along as files. */
export function printerRoutes(printer: Printer, clock: Clock): readonly Route[] {
  const printing = new RateLimit(120, 60, clock);
  return [
    {
      method: 'GET',
      path: ['bands', '*', 'songs', '*', 'parts', '*'],
      rate: printing,
      answer: async (call) => {
        const playerId = pdfOf(part(call, 2));
        if (playerId === null) return refuse('not found', 'a part ends in .pdf');
        const look = lookOf(call);
        if (!look.ok) return look;
        return plain(printer.part(cookieOf(call), part(call, 0), part(call, 1), playerId, look.value));
      },
    },
    {
      method: 'GET',
      path: ['bands', '*', 'songs', '*', 'cribs', '*'],
      rate: printing,
      answer: async (call) => {
        const playerId = pdfOf(part(call, 2));
        if (playerId === null) return refuse('not found', 'a crib ends in .pdf');
        const look = lookOf(call);
        if (!look.ok) return look;
        const who = playerId === 'new' ? newcomerOf(call) : granted({ playerId });
        if (!who.ok) return who;
        const { paper } = look.value;
        return plain(printer.crib(cookieOf(call), part(call, 0), part(call, 1), who.value, paper));
      },
    },
    {
      method: 'GET',
      path: ['bands', '*', 'songs', '*', 'practice', '*'],
      rate: printing,
      answer: async (call) => {
        const answerId = pdfOf(part(call, 2));
        if (answerId === null) return refuse('not found', 'a sheet ends in .pdf');
        const look = lookOf(call);
        if (!look.ok) return look;
        const { paper } = look.value;
        return plain(printer.student(cookieOf(call), part(call, 0), part(call, 1), answerId, paper));
      },
    },
    {
      method: 'GET',
      path: ['bands', '*', 'songs', '*', 'left-out'],
      rate: printing,
      answer: (call) => plain(printer.leftOut(cookieOf(call), part(call, 0), part(call, 1))),
    },
    {
      method: 'GET',
      path: ['bands', '*', 'songs', '*', '*'],
      rate: printing,
      answer: async (call) => {
        const ending = /^file\.(.+)$/.exec(part(call, 2))?.[1];
        if (ending === undefined) return refuse('not found', 'a file is named file.ENDING');
        return plain(printer.file(cookieOf(call), part(call, 0), part(call, 1), ending));
      },
    },
    {
      method: 'POST',
      path: ['bands', '*', 'sets', '*', 'books'],
      status: 202,
      rate: printing,
      answer: async (call) => {
        const asked = await readJson(call.request, bookRequest, LIMITS.request);
        if (!asked.ok) return asked;
        return plain(printer.startBook(cookieOf(call), part(call, 0), part(call, 1), asked.value));
      },
    },
    {
      method: 'GET',
      path: ['bands', '*', 'books', '*'],
      answer: (call) => plain(printer.book(cookieOf(call), part(call, 0), part(call, 1))),
    },
    {
      method: 'GET',
      path: ['bands', '*', 'books', '*', 'file'],
      answer: (call) => plain(printer.bookFile(cookieOf(call), part(call, 0), part(call, 1))),
    },
    {
      method: 'POST',
      path: ['bands', '*', 'books', '*', 'stop'],
      answer: (call) => plain(printer.stopBook(cookieOf(call), part(call, 0), part(call, 1))),
    },
  ];
}

const pdfOf = (name: string): string | null => /^(.+)\.pdf$/.exec(name)?.[1] ?? null;
const askedOf = ({ request }: Call): URLSearchParams =>
  new URL(request.url ?? '/', 'http://here').searchParams;

/** `?instrument=guitar`, which is what a newcomer is taken to play. */
function newcomerOf(call: Call): PageResult<CribFor> {
  const asked = askedOf(call).get('instrument') ?? 'guitar';
  const newOn = INSTRUMENTS.find((one) => one === asked);
  return newOn === undefined
    ? refuse('bad value', `instrument: ${INSTRUMENTS.join(', ')}`)
    : granted({ newOn });
}

/** `?paper=letter&density=cues&chords=degrees`; by default A4, all of it, the player's shapes. */
function lookOf(call: Call): PageResult<Look> {
  const asked = askedOf(call);
  const paper = PAPERS.find((one) => one === (asked.get('paper') ?? 'a4'));
  const density = DENSITIES.find((one) => one === (asked.get('density') ?? 'whole'));
  const chords = CHORD_WAYS.find((one) => one === (asked.get('chords') ?? 'shapes'));
  if (paper === undefined) return refuse('bad value', `paper: ${PAPERS.join(' or ')}`);
  if (density === undefined) return refuse('bad value', `density: ${DENSITIES.join(', ')}`);
  if (chords === undefined) return refuse('bad value', `chords: ${CHORD_WAYS.join(', ')}`);
  return granted({ paper, density, chords });
}
