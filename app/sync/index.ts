/**
 * The page's half of the shared documents: opens one over the socket, says whether its edits are kept (by the
 * server's word alone), and carries presence. It knows nothing of what stands in a document, and draws nothing.
 */

export { Observable } from './observable';
export {
  type DocumentState,
  type DocumentStatus,
  type OpenDocument,
  type OpenOptions,
  openDocument,
} from './open';
