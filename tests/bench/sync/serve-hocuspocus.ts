/** Hocuspocus as it comes, with nothing stored: `serve-hocuspocus.ts PORT`. */
import { Server } from '@hocuspocus/server';
import { stands } from './probe';

const server = new Server({ address: '127.0.0.1', port: Number(process.argv[2] ?? 0), quiet: true });
await server.listen();
stands(null);
