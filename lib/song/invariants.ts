import type { Song } from './song';

/**
 * What must hold in every song value, whatever people did at once; a sentence for each breach.
 * Ids are unique; notes and chords hang on bars that exist; notes name voices and passes name sections that exist;
 * a note or chord starts inside its bar; one answer stands at a place; votes are on proposals; words on phrases and on who sings name notes,
 * voices and passes that exist, once each.
 */
export function checkSong(song: Song): readonly string[] {
  const breaches: string[] = [];
  const barTicks = new Map<string, number>();
  const ids = new Set<string>();
  const once = (kind: string, id: string) => {
    const key = `${kind} ${id}`;
    if (ids.has(key)) breaches.push(`${key} stands twice`);
    ids.add(key);
  };
  for (const section of song.sections) {
    once('section', section.id);
    for (const bar of section.bars) {
      once('bar', bar.id);
      barTicks.set(bar.id, bar.ticks);
    }
  }
  for (const voice of song.voices) once('voice', voice.id);
  for (const note of song.notes) {
    once('note', note.id);
    if (!ids.has(`voice ${note.voiceId}`)) breaches.push(`note ${note.id} has no voice`);
    if (note.offset >= (barTicks.get(note.barId) ?? 0))
      breaches.push(`note ${note.id} is not inside its bar`);
  }
  for (const chord of song.chords) {
    once('chord', chord.id);
    if (chord.offset >= (barTicks.get(chord.barId) ?? 0))
      breaches.push(`chord ${chord.id} is not inside its bar`);
  }
  for (const pass of song.passes) {
    once('pass', pass.id);
    if (!ids.has(`section ${pass.sectionId}`)) breaches.push(`pass ${pass.id} has no section`);
  }
  for (const setting of song.settings) once('setting of', setting.playerId);
  for (const { noteId, stanza } of song.phraseEnds) {
    once('phrase end of', `${noteId} in ${stanza}`);
    if (!ids.has(`note ${noteId}`)) breaches.push(`a phrase end is on no note: ${noteId}`);
  }
  const voiceOf = new Map(song.notes.map((note) => [note.id, note.voiceId]));
  for (const { passId, voiceId, noteId } of song.singing) {
    once('singer of', `${voiceId} in ${passId} from ${noteId}`);
    if (!ids.has(`pass ${passId}`)) breaches.push(`a singer is in no pass: ${passId}`);
    if (!ids.has(`voice ${voiceId}`)) breaches.push(`a singer is of no voice: ${voiceId}`);
    if (noteId !== null && voiceOf.get(noteId) !== voiceId)
      breaches.push(`a singer comes in on a note that is not of voice ${voiceId}: ${noteId}`);
  }
  for (const answer of [...song.settled, ...song.proposals]) {
    once('answer', answer.id);
    if (answer.extent.to <= answer.extent.from) breaches.push(`answer ${answer.id} has no length`);
  }
  const places = new Map<string, string>();
  for (const { id, place } of song.settled) {
    const key = JSON.stringify([place.passId, place.noteId, place.voiceId]);
    const other = places.get(key);
    if (other !== undefined) breaches.push(`answers ${other} and ${id} stand at one place`);
    places.set(key, id);
  }
  const proposals = new Set(song.proposals.map(({ id }) => id));
  for (const { proposalId, playerId } of song.votes) {
    once('vote of', `${playerId} on ${proposalId}`);
    if (!proposals.has(proposalId)) breaches.push(`a vote of ${playerId} is on no proposal`);
  }
  return breaches;
}
