import { byCloseCode, parseDocument, type Refusal, whyNot } from '../../lib/protocol';
import { forgetBand, forgetDocument } from './forget';

/** What the socket's own layer says of a frame beyond its limit. */
const TOO_LARGE_FOR_SOCKET = 1009;

/** Whether a close code says that trying again is of no use. */
export function isFinal(code: number): boolean {
  return (code >= 4400 && code < 4500) || code === TOO_LARGE_FOR_SOCKET;
}

/** What a close code means; null where it is not one of ours. */
export function refusalFor(code: number, where: string): Refusal | null {
  return code === TOO_LARGE_FOR_SOCKET ? whyNot('too large', where) : byCloseCode(code, where);
}

/** Refusals after which nothing of a document stays on the device, and which documents go. */
const ENDS: ReadonlyMap<Refusal['code'], 'document' | 'all of the band' | 'kept of the band'> = new Map([
  // Who has only been away for long comes in again by a link, and then what waits here can still go.
  ['no session', 'kept of the band'],
  ['session over', 'kept of the band'],
  ['not your band', 'all of the band'],
  ['band deleted', 'all of the band'],
  ['not found', 'document'],
] as const);

export const endsHere = (code: Refusal['code']): boolean => ENDS.has(code);

/** Takes off the device what the server will not give again. The document is not being written to any more. */
export async function forgetRefused(name: string, code: Refusal['code']): Promise<void> {
  const what = ENDS.get(code);
  const bandId = parseDocument(name)?.bandId;
  if (what === undefined || bandId === undefined) return;
  if (what === 'document') await forgetDocument(name);
  else await forgetBand(bandId, what === 'all of the band' ? 'all' : 'kept');
}
