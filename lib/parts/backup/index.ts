/** What is played behind the singer, pass by pass: worked out, drawn in whole bars, and as the few bars that stand for all. */
export { type BackupBar, type BackupInPass, backupBars, backupInPass, timelineOf } from './in-pass';
export { type NotesRow, type NotesRowsLook, notesRows } from './rows';
