/**
 * What server and page say to each other beside the documents themselves: names of documents, the numbers of our
 * own messages, limits, the one catalogue of refusals (text, status, close code), the shapes of the JSON requests
 * and answers, and the port through which a page gets its first data. It opens no sockets and touches no documents.
 */
export {
  type BandMade,
  type BookJob,
  type BookStamps,
  type EnterAnswer,
  KINDS,
  type Kind,
  type LeftOut,
  type LinkChanged,
  type LinkGiven,
  type LinkList,
  type LinkShown,
  type SessionBand,
  type SessionInfo,
  type SongMade,
  type YouAnswer,
  type YourLink,
} from './answers';
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
export {
  type AskedLink,
  type BookRequest,
  bandIdSchema,
  bookRequest,
  deleteRequest,
  enterRequest,
  leaveRequest,
  linkRequest,
  type NewBandRequest,
  newBandRequest,
  songRequest,
  youRequest,
} from './requests';
