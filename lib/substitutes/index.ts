/**
 * A substitute: everything that one player has in a song given to another, on another instrument too, as one edit: roles, what they sing, starts
 * and endings, fills with their notes or solved anew, and in sentences what does not go. It writes nothing, and it does not choose
 * who steps in.
 */
export { settingFor } from './setting';
export { substituteIn } from './substitute';
export type { AnswerAfter, HandedOver, Substitute, SubstituteRequest } from './types';
