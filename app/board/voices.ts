import type { Song, Voice } from '../../lib/song';

/** The voices that have words and no tune: how low and how high they go only the singer knows. */
export function voicesWithoutTune(song: Song): readonly Voice[] {
  return song.voices.filter((voice) => {
    const own = song.notes.filter(({ voiceId }) => voiceId === voice.id);
    return own.length > 0 && own.every(({ midi }) => midi === null);
  });
}
