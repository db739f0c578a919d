/**
 * Who may do what: bands, the two kinds of links, and the signed cookie that stands for a device. It sees no
 * documents and no sockets; it tells those who listen when a link is ended, a band deleted or a session renamed. It also
 * counts: how often an address may ask, and how much it may hold at once.
 */
export { type AccessOptions, bandAccess, RENEWED_AFTER_MILLISECONDS, SESSION_MILLISECONDS } from './access';
export { readCookie } from './cookie';
export { loadKey } from './key';
export { RateLimit } from './rate';
export { Slots } from './slots';
