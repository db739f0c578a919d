/**
 * Reads a song's text away from the page, so that the page goes on answering keys. One request, one answer; to stop
 * it, end the worker.
 */
import { readAbc } from '../../lib/exchange';
import { newId } from '../hooks/newId';
import type { ReadAnswer, ReadRequest } from './read-song-messages';

self.onmessage = ({ data }: MessageEvent<ReadRequest>) => {
  const answer: ReadAnswer = readAbc(data.text, { makeId: newId });
  self.postMessage(answer);
};
