/**
 * What whoever runs a server needs: its log, its numbers, its health, and the check that reads everything. It opens no
 * documents to people and changes nothing that is kept. The commands for backup, restore and check are in command.ts.
 */
export { type Checked, checkData } from './check';
export { LEVELS, type Level, type Log, makeLog, scrubbed } from './log';
export { Metrics } from './metrics';
export { isFromHere, Watch, type WatchOptions } from './watch';
