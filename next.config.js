import { fileURLToPath } from 'node:url';

/** @type {import('next').NextConfig} */
export default {
  // One copy of each on the server: a second Yjs would not know the first one's documents.
  serverExternalPackages: ['yjs', 'y-websocket', 'y-protocols', 'lib0'],
  turbopack: { root: fileURLToPath(new URL('.', import.meta.url)) },
  poweredByHeader: false,
  devIndicators: false,
  // Types are checked by `npm run check`, not on the way to a start.
  typescript: { ignoreBuildErrors: true },
};
