import type { IncomingMessage, ServerResponse } from 'node:http';
import {
  deleteRequest,
  enterRequest,
  granted,
  LIMITS,
  leaveRequest,
  linkRequest,
  newBandRequest,
  type RefusalCode,
  refuse,
  statusOf,
  whyNot,
  youRequest,
} from '../../lib/protocol';
import { RateLimit } from '../access';
import { type Access, type Clock, NoRoom } from '../ports';
import { type BandFiles, bandFileRoutes } from './band-files';
import { readBytes, readJson } from './body';
import { eveningRoutes } from './evening-routes';
import { FileAnswer, sendFile } from './file-answer';
import type { House } from './house';
import type { Origins } from './origin';
import type { Printer } from './printer';
import { printerRoutes } from './printer-routes';
import type { SongReader } from './read-song';
import { type Call, plain, type Route } from './route';

export interface ApiOptions {
  readonly house: House;
  readonly access: Access;
  readonly clock: Clock;
  readonly origins: Origins;
  readonly songs: SongReader;
  readonly printer: Printer;
  readonly bandFiles: BandFiles;
  /** Told of what went wrong on our side; the one who asked sees no more than that it did. */
  readonly report: (error: unknown) => void;
}

/** The JSON answers under /api. */
export class Api {
  readonly #access: Access;
  readonly #report: (error: unknown) => void;
  readonly #routes: readonly Route[];
  readonly #all: RateLimit;
  readonly #origins: Origins;

  constructor({ house, access, clock, report, origins, songs, printer, bandFiles }: ApiOptions) {
    this.#access = access;
    this.#report = report;
    this.#origins = origins;
    this.#all = new RateLimit(600, 600, clock);
    this.#routes = [
      ...routesOf(house, clock, songs),
      ...printerRoutes(printer, clock),
      ...eveningRoutes(house, clock),
      ...bandFileRoutes(bandFiles, clock),
    ];
  }

  async handle(request: IncomingMessage, response: ServerResponse, path: string): Promise<void> {
    response.setHeader('Cache-Control', 'no-store');
    try {
      await this.#answer(request, response, path);
    } catch (error) {
      this.#report(error);
      const code = error instanceof NoRoom ? 'no room' : 'our fault';
      send(response, statusOf(code), { error: whyNot(code, path) });
    }
    // A body that was refused unread must not be taken for the next request.
    if (!request.complete) request.resume();
  }

  async #answer(request: IncomingMessage, response: ServerResponse, path: string): Promise<void> {
    const no = (code: RefusalCode, where = path) =>
      send(response, statusOf(code), { error: whyNot(code, where) });
    const { addressOf, fromOwnPage, isSecure } = this.#origins;
    const address = addressOf(request);
    if (!this.#all.take(address)) return no('too often');
    const parts = path
      .split('/')
      .filter((part) => part !== '')
      .slice(1);
    const fitting = this.#routes.filter((route) => fits(route.path, parts));
    if (fitting.length === 0) return no('not found');
    const route = fitting.find(({ method }) => method === request.method);
    if (route === undefined) {
      response.setHeader('Allow', fitting.map(({ method }) => method).join(', '));
      return no('wrong method');
    }
    if (route.method === 'POST' && !fromOwnPage(request)) return no('other page');
    if (route.rate && !route.rate.take(address)) return no('too often');
    const session = this.#access.session(request.headers.cookie ?? null);
    const result = await route.answer({
      request,
      session,
      parts: parts.filter((_, i) => route.path[i] === '*'),
    });
    if (!result.ok) {
      if (result.error.code === 'too large') response.setHeader('Connection', 'close');
      return send(response, statusOf(result.error.code), { error: result.error });
    }
    const next = result.value.session ?? (session === null ? null : this.#access.renewed(session));
    if (next !== null) response.setHeader('Set-Cookie', this.#access.cookie(next, isSecure(request)));
    send(response, route.status ?? 200, result.value.answer);
  }
}

function fits(route: readonly string[], parts: readonly string[]): boolean {
  return route.length === parts.length && route.every((part, i) => part === '*' || part === parts[i]);
}

function send(response: ServerResponse, status: number, body: unknown): void {
  if (response.headersSent || response.destroyed) return;
  response.statusCode = status;
  if (body instanceof FileAnswer) {
    sendFile(response, body);
    return;
  }
  response.setHeader('Content-Type', 'application/json; charset=utf-8');
  response.end(JSON.stringify(body));
}

function routesOf(house: House, clock: Clock, songs: SongReader): readonly Route[] {
  const entering = new RateLimit(40, 40, clock);
  const making = new RateLimit(60, 60, clock);
  const part = (call: Call, index: number): string => call.parts[index] ?? '';
  return [
    { method: 'GET', path: ['health'], answer: () => plain(Promise.resolve(granted({ well: true }))) },
    {
      method: 'GET',
      path: ['session'],
      answer: ({ session }) => plain(house.info(session).then(granted)),
    },
    {
      method: 'POST',
      path: ['enter'],
      rate: entering,
      answer: async ({ request, session }) => {
        const asked = await readJson(request, enterRequest, LIMITS.request);
        if (asked.ok) return house.enter(session, asked.value.secret);
        return asked.error.code === 'bad value' ? refuse('bad link', 'the link') : asked;
      },
    },
    {
      method: 'POST',
      path: ['demo', 'enter'],
      rate: making,
      answer: async ({ session }) => house.enterDemo(session),
    },
    {
      method: 'POST',
      path: ['bands'],
      status: 201,
      rate: making,
      answer: async ({ request, session }) => {
        const asked = await readJson(request, newBandRequest, LIMITS.request);
        return asked.ok ? house.newBand(session, asked.value) : asked;
      },
    },
    {
      method: 'GET',
      path: ['bands', '*', 'links'],
      answer: (call) => plain(house.links(call.session, part(call, 0))),
    },
    {
      method: 'POST',
      path: ['bands', '*', 'links'],
      status: 201,
      rate: making,
      answer: async (call) => {
        const asked = await readJson(call.request, linkRequest, LIMITS.request);
        return asked.ok ? plain(house.giveLink(call.session, part(call, 0), asked.value.kind)) : asked;
      },
    },
    {
      method: 'POST',
      path: ['bands', '*', 'links', '*', 'end'],
      answer: (call) => house.endLink(call.session, part(call, 0), part(call, 1)),
    },
    {
      method: 'POST',
      path: ['bands', '*', 'links', '*', 'change'],
      rate: making,
      answer: (call) => house.changeLink(call.session, part(call, 0), part(call, 1)),
    },
    {
      method: 'POST',
      path: ['bands', '*', 'links', 'end'],
      answer: (call) => house.endAllLinks(call.session, part(call, 0)),
    },
    {
      method: 'POST',
      path: ['bands', '*', 'delete'],
      rate: making,
      answer: async (call) => {
        const asked = await readJson(call.request, deleteRequest, LIMITS.request);
        return asked.ok ? house.deleteBand(call.session, part(call, 0), asked.value.name) : asked;
      },
    },
    {
      method: 'POST',
      path: ['bands', '*', 'songs'],
      status: 201,
      rate: making,
      answer: async (call) => {
        // Asked before the body is read: it may be large.
        const may = await house.player(call.session, part(call, 0));
        if (!may.ok) return may;
        const text = await readBytes(call.request, LIMITS.songRequest);
        if (!text.ok) return text;
        const song = await songs.read(text.value);
        return song.ok ? plain(house.addSong(call.session, part(call, 0), song.value)) : song;
      },
    },
    {
      method: 'POST',
      path: ['you'],
      answer: async ({ request, session }) => {
        const asked = await readJson(request, youRequest, LIMITS.request);
        return asked.ok ? house.name(session, asked.value.bandId, asked.value.playerId) : asked;
      },
    },
    {
      method: 'POST',
      path: ['leave'],
      answer: async ({ request, session }) => {
        const asked = await readJson(request, leaveRequest, LIMITS.request);
        return asked.ok ? house.leave(session, asked.value.bandId) : asked;
      },
    },
  ];
}
