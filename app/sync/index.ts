/**
 * The page's half of the shared documents: opens one as this device holds it and over the socket, says whether its
 * edits are kept (by the server's word alone), carries presence, and takes off the device what may not stay there.
 * It knows nothing of what stands in a document, and draws nothing.
 */

export { bringDocument, NotBrought } from './bring';
export { bandsHere, type Extent, forgetBand, forgetKept, heldWhole } from './forget';
export type { Unkept } from './ledger';
export { Observable } from './observable';
export {
  type DocumentState,
  type DocumentStatus,
  type OpenDocument,
  type OpenOptions,
  openDocument,
} from './open';
export type { Peer, Presence, Shown, Sight, Whereabouts } from './presence';
export { forgetRefused } from './refused';
