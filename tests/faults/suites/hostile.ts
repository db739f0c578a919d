import type { WebSocket } from 'ws';
import * as Y from 'yjs';
import { randomFrom } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import { NEW_BAND } from '../../../lib/song';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { TestServer, until } from '../../unit/server/harness';
import { ASK_PRESENCE, editFrame, hostileFrame } from '../hostile-frames';
import type { Report, Suite } from '../suite';

/** Hostile frames of one run: 10,000 in the twenty runs of the long form. */
const FRAMES = 500;
/** An honest edit after so many of them. */
const EVERY = 25;
/** What the server may say to such a socket: the catalogue's codes for it. */
const REFUSALS = new Set([4400, 4413, 4529, 4500]);

const words = (doc: Y.Doc) => doc.getMap<string>('test');

interface Line {
  readonly socket: WebSocket;
  /** The code by which it was closed. */
  readonly closed: Promise<number>;
}

/** Resolves when the server has read all that was sent on the line, with the code if it was closed for it. */
function read({ socket, closed }: Line): Promise<number | null> {
  const answered = new Promise<null>((done) => {
    const listen = (data: Buffer) => {
      if (data[0] !== 1) return;
      socket.off('message', listen);
      done(null);
    };
    socket.on('message', listen);
  });
  if (socket.readyState === socket.OPEN) socket.send(ASK_PRESENCE);
  return Promise.race([answered, closed]);
}

function opened(server: TestServer, name: string, cookie: string): Promise<Line> {
  return new Promise((done, fail) => {
    const socket = server.socket(name, cookie);
    const closed = new Promise<number>((end) => socket.once('close', end));
    socket.once('message', () => done({ socket, closed }));
    closed.then((code) => fail(new Error(`not let in: ${code}`)));
    socket.on('error', () => {});
  });
}

async function run(seed: number, report: Report): Promise<void> {
  const random = randomFrom(seed);
  const store = memoryStore();
  const server = await TestServer.start({
    store,
    limits: { upgradesEachMinute: 1_000_000 },
    demo: async () => ({
      band: { id: 'demo', name: '', players: [], songs: [], sets: [], ...NEW_BAND },
      songs: [],
    }),
    report: (error) => report.wrong(`the server met with ${String(error)}`),
  });
  try {
    const { band, cookie } = await server.newBand();
    const mallory = await server.enterBy(band.links.player.path);
    const fan = await server.enterBy(band.links.listener.path);
    const name = bandDocument(band.bandId);
    const [ada, ben] = [server.open(name, cookie), server.open(name, cookie)];
    await Promise.all([ada.settled, ben.settled]);
    words(ada.doc).set('first', 'ada');
    ada.awareness.setLocalState({ name: 'Ada' });
    await until(
      () => ben.awareness.getStates().get(ada.doc.clientID)?.name === 'Ada' && words(ben.doc).has('first'),
    );
    const victim = { clientId: ada.doc.clientID, update: Y.encodeStateAsUpdate(ada.doc) };

    ben.awareness.on('change', () => {
      const shown = ben.awareness.getStates().get(ada.doc.clientID);
      if (shown !== undefined && shown.name !== 'Ada') report.wrong('somebody passed for somebody else');
    });

    let line: Line | null = null;
    const honest = new Map([['first', 'ada']]);
    for (let i = 0; i < FRAMES; i++) {
      line ??= await opened(server, name, mallory).catch(() => null);
      if (line === null) continue;
      const { what, data } = hostileFrame(random, victim);
      if (line.socket.readyState === line.socket.OPEN) line.socket.send(data);
      report.count('hostile frames');
      const code = await read(line);
      if (code !== null) {
        line = null;
        report.count('refused');
        if (!REFUSALS.has(code)) report.wrong(`${what}: the socket was closed by ${code}`);
      }
      if (i % EVERY === 0) {
        const writer = i % (2 * EVERY) === 0 ? ada : ben;
        words(writer.doc).set(`edit ${i}`, `of ${seed}`);
        honest.set(`edit ${i}`, `of ${seed}`);
        const listening = await opened(server, name, fan);
        const doc = new Y.Doc();
        words(doc).set(`listener ${i}`, 'was here');
        listening.socket.send(editFrame(Y.encodeStateAsUpdate(doc)));
        if ((await read(listening)) !== null) report.wrong('a listener who writes was thrown out');
        listening.socket.terminate();
      }
    }
    line?.socket.terminate();
    const isKept = () => [ada, ben].every((page) => page.status.getSnapshot().state === 'kept');
    const isSame = () =>
      [...honest.keys()].every((key) => words(ada.doc).has(key) && words(ben.doc).has(key));
    await until(() => isKept() && isSame());
    report.kept(honest.size);

    const stored = new Y.Doc();
    Y.applyUpdate(stored, mergeUpdates((await store.load(name))?.updates ?? []));
    const lost = [...honest].filter(([key, value]) => words(stored).get(key) !== value);
    report.lost(lost.length, lost.map(([key]) => key).join(', '));
    for (const doc of [ada.doc, ben.doc, stored])
      if ([...words(doc).keys()].some((key) => key.startsWith('listener')))
        report.wrong("a listener's edit was taken");
    if ((await server.ask('/api/health')).status !== 200) report.wrong('the server is not well');
    server.destroyClients();
    await until(() => server.composed.sync.connectionCount === 0 && server.composed.rooms.count === 0);
  } finally {
    await server.stop();
  }
}

export const hostile: Suite = { name: 'hostile frames', runs: { short: 2, long: 20 }, run };
