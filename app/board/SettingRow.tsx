import { useId } from 'react';
import type { SongEdits } from '../../lib/document';
import { INSTRUMENT_FACTS, tuningsOf } from '../../lib/instruments';
import type { Player, PlayerSetting } from '../../lib/song';
import { Initials } from '../ui/Initials';

export const SELECT = 'min-h-(--touch) border-b border-edge bg-transparent';

/** How one player plays this song: instrument, tuning, capo. */
export function SettingRow({
  player,
  setting,
  edits,
}: {
  readonly player: Player;
  readonly setting: PlayerSetting;
  readonly edits: SongEdits;
}) {
  const id = useId();
  const facts = INSTRUMENT_FACTS[setting.instrument];
  const set = (fields: Partial<PlayerSetting>) => edits.setSetting(player.id, { ...setting, ...fields });
  const capos = Array.from({ length: facts.highestCapo + 1 }, (_, capo) => capo);
  return (
    <li className="plain flex flex-wrap items-center gap-x-4" aria-labelledby={id}>
      <span id={id} className="min-w-28">
        <Initials initials={player.initials} ink={player.ink} /> {player.name}
      </span>
      <label>
        <span className="sr-only">Instrument</span>
        <select
          className={SELECT}
          value={setting.instrument}
          onChange={(event) => {
            const instrument = player.instruments.find((one) => one === event.target.value);
            if (instrument) set({ instrument, tuning: 'standard', capo: 0, fifthCapo: null });
          }}
        >
          {[...new Set([setting.instrument, ...player.instruments])].map((name) => (
            <option key={name}>{name}</option>
          ))}
        </select>
      </label>
      {tuningsOf(setting.instrument).length > 1 && (
        <label>
          <span className="sr-only">Tuning</span>
          <select
            className={SELECT}
            value={setting.tuning}
            onChange={(event) => set({ tuning: event.target.value })}
          >
            {tuningsOf(setting.instrument).map((tuning) => (
              <option key={tuning.name}>{tuning.name}</option>
            ))}
          </select>
        </label>
      )}
      {facts.highestCapo > 0 && (
        <label>
          capo{' '}
          <select
            className={SELECT}
            value={setting.capo}
            onChange={(event) => set({ capo: Number(event.target.value) })}
          >
            {capos.map((capo) => (
              <option key={capo} value={capo}>
                {capo === 0 ? 'none' : capo}
              </option>
            ))}
          </select>
        </label>
      )}
      {setting.instrument === 'banjo' && (
        <label>
          fifth string up{' '}
          <select
            className={SELECT}
            value={setting.fifthCapo ?? setting.capo}
            onChange={(event) => set({ fifthCapo: Number(event.target.value) })}
          >
            {capos.map((capo) => (
              <option key={capo} value={capo}>
                {capo === 0 ? 'not' : capo}
              </option>
            ))}
          </select>
        </label>
      )}
    </li>
  );
}
