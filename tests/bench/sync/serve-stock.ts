/** The stock Yjs WebSocket server as it comes, with nothing stored: `serve-stock.ts PORT`. */
import { stands } from './probe';

process.env.HOST = '127.0.0.1';
process.env.PORT = process.argv[2] ?? '0';
const home = import.meta.resolve('@y/websocket-server/package.json');
await import(new URL('src/server.js', home).href);
stands(null);
