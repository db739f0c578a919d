/**
 * What server and page say to each other beside the documents themselves: names of documents, the numbers of our
 * own messages, limits, the one catalogue of refusals (text, status, close code), the shapes of the JSON requests
 * and answers, and the port through which a page gets its first data. It opens no sockets and touches no documents.
 */
export {
  type AskedLink,
  type BandMade,
  bandIdSchema,
  deleteRequest,
  type EnterAnswer,
  enterRequest,
  KINDS,
  type Kind,
  type LinkChanged,
  type LinkGiven,
  type LinkList,
  type LinkShown,
  leaveRequest,
  linkRequest,
  type NewBandRequest,
  newBandRequest,
  type SessionBand,
  type SessionInfo,
  type SongMade,
  songRequest,
  type YouAnswer,
  type YourLink,
  youRequest,
} from './api';
export { KEPT, LIMITS, RIGHTS, SYNC_PATH } from './messages';
export { bandDocument, type DocumentName, isId, parseDocument, songDocument } from './names';
export {
  type BandPage,
  type PageData,
  type PageResult,
  pageData,
  providePageData,
  type SongPage,
} from './page-data';
export { type BookJob, type BookRequest, bookRequest, type LeftOut } from './paper';
export {
  byCloseCode,
  closeCode,
  type Granted,
  granted,
  type Refusal,
  type RefusalCode,
  type Refused,
  refuse,
  statusOf,
  whyNot,
} from './refusals';
