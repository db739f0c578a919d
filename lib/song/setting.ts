import type { Player } from './band';
import type { PlayerSetting, Song } from './song';

/** How a player is set up for a song where the song does not say: main instrument, first tuning, no capo. */
export function settingOf(song: Pick<Song, 'settings'>, player: Player): PlayerSetting {
  return (
    song.settings.find((setting) => setting.playerId === player.id) ?? {
      playerId: player.id,
      instrument: player.instruments.find((name) => name !== 'voice') ?? 'voice',
      tuning: 'standard',
      capo: 0,
      fifthCapo: null,
      rule: null,
    }
  );
}
