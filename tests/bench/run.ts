/** The benchmarks by name: `npm run bench` measures songs, `-- hand` hand plan and line search against brute force, `-- sync` the sync server, `-- soak` its memory. */
const BENCHMARKS: Readonly<Record<string, () => Promise<unknown>>> = {
  songs: () => import('./song-to-offers'),
  hand: () => import('./hand'),
  sync: () => import('./sync/sync'),
  soak: () => import('./sync/soak'),
};

const asked = process.argv[2] ?? 'songs';
const benchmark = BENCHMARKS[asked];
if (benchmark === undefined) {
  console.error(`No benchmark ${asked}: there is ${Object.keys(BENCHMARKS).join(', ')}.`);
  process.exit(2);
}
await benchmark();

export {};
