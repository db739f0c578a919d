/**
 * Who may do what: bands, the two kinds of links, and the signed cookie that stands for a device. It sees no
 * documents and no sockets; it tells those who listen when a link is ended or a session is renamed.
 */
export { type AccessOptions, bandAccess, SESSION_MILLISECONDS } from './access';
export { readCookie } from './cookie';
export { loadKey } from './key';
export { RateLimit } from './rate';
