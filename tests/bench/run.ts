/** The benchmarks by name: `npm run bench` measures songs, `-- phrases` phrase ends on songs left out, `-- files` many files at once, `-- hand` hand plan and line search against brute force, `-- order` the order of an evening against an integer solver, `-- break` breaks, `-- sync` the sync server, `-- soak` its memory, `-- plan` plans, `-- book` evening books, `-- page` the board in a slowed browser. */
const BENCHMARKS: Readonly<Record<string, () => Promise<unknown>>> = {
  songs: () => import('./song-to-offers'),
  phrases: () => import('./phrases'),
  files: () => import('./many-files'),
  hand: () => import('./hand'),
  order: () => import('./order'),
  break: () => import('./break'),
  sync: () => import('./sync/sync'),
  soak: () => import('./sync/soak'),
  plan: () => import('./plan'),
  book: () => import('./book'),
  page: () => import('./page/page'),
};

const asked = process.argv[2] ?? 'songs';
const benchmark = BENCHMARKS[asked];
if (benchmark === undefined) {
  console.error(`No benchmark ${asked}: there is ${Object.keys(BENCHMARKS).join(', ')}.`);
  process.exit(2);
}
await benchmark();

export {};
