/**
 * The import law of the house: a room may import what its row lists and whatever those may import, by way of the
 * other room's index file. Nothing else. A cycle is never allowed.
 */

/** What each room imports directly; the rest follows. */
const rows = {
  'lib/base': [],
  'lib/time': ['lib/base'],
  'lib/theory': ['lib/time'],
  'lib/instruments': ['lib/theory'],
  'lib/song': ['lib/instruments'],
  'lib/document': ['lib/song'],
  'lib/protocol': ['lib/song'],
  'lib/spaces': ['lib/song'],
  'lib/players': ['lib/spaces'],
  'lib/fills': ['lib/spaces'],
  'lib/keys': ['lib/song'],
  'lib/taps': ['lib/song'],
  'lib/plan': ['lib/players', 'lib/fills'],
  'lib/sets': ['lib/keys'],
  'lib/substitutes': ['lib/plan', 'lib/keys'],
  'lib/parts': ['lib/plan', 'lib/sets', 'lib/fills'],
  'lib/changes': ['lib/parts'],
  'lib/exchange': ['lib/parts', 'lib/taps'],
  'lib/rehearsal': ['lib/fills'],
  'server/ports': ['lib/protocol'],
  'server/sync': ['server/ports', 'lib/document'],
  'server/store': ['server/ports'],
  'server/relay': ['server/ports'],
  'server/access': ['server/ports'],
  'server/ops': ['server/store', 'lib/document'],
  'server/http': ['server/access', 'server/sync', 'server/print', 'lib/document', 'lib/exchange'],
  'server/print': ['lib/parts'],
  'server/demo': ['lib/exchange', 'lib/document', 'lib/fills', 'lib/players'],
  'server/command': ['lib/exchange', 'lib/document', 'lib/rehearsal', 'server/print'],
};

const reach = (room, seen = new Set()) => {
  for (const next of rows[room] ?? []) {
    if (!seen.has(next)) {
      seen.add(next);
      reach(next, seen);
    }
  }
  return [...seen];
};

const roomRules = Object.keys(rows).map((room) => ({
  name: `law-of-${room.replace('/', '-')}`,
  comment: `${room} may import ${reach(room).join(', ') || 'no other room'}`,
  severity: 'error',
  from: { path: `^${room}/` },
  to: { path: '^(lib|server|app|tests)/', pathNot: `^(${[room, ...reach(room)].join('|')})/` },
}));

module.exports = {
  forbidden: [
    ...roomRules,
    {
      name: 'app-imports-lib-only',
      severity: 'error',
      from: { path: '^app/' },
      to: { path: '^(server|tests)/' },
    },
    {
      name: 'lib-knows-no-outside',
      comment: 'lib is pure: it runs the same in Node, in the browser and in a worker',
      severity: 'error',
      from: { path: '^lib/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'yjs-in-document-only',
      comment: 'lib/document is the one room of lib that knows Yjs',
      severity: 'error',
      from: { path: '^lib/', pathNot: '^lib/document/' },
      to: { path: 'node_modules/(yjs|y-protocols|y-websocket)/' },
    },
    {
      name: 'rooms-by-their-index',
      comment: 'a room shows its way in by its index file; the rest is private',
      severity: 'error',
      from: { path: '^(lib/[^/]+|server/[^/]+|app)/' },
      to: { path: '^lib/[^/]+/(?!index\\.ts$)', pathNot: '^$1/' },
    },
    { name: 'no-cycle', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'nothing-unresolved',
      severity: 'error',
      from: {},
      to: { couldNotResolve: true, pathNot: ['^(bun|cloudflare|deno):', 'dist/server\\.mjs$'] },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
    exclude: { path: '\\.css$' },
  },
};
