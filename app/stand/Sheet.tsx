import { memo, type Ref } from 'react';
import type { InstrumentName } from '../../lib/instruments';
import { type Arrangement, companyIn, ledIn, type Part, passName, settingOf } from '../../lib/parts';
import type { Band, Player } from '../../lib/song';
import { parseChord } from '../../lib/theory';
import type { Inks } from '../board/inks';
import { PassView } from '../board/PassView';
import { holdsAny, rowWidth, type SheetLook } from './look';

/** A player's whole part in one column; what is theirs in full ink, the rest fainter. */
export const Sheet = memo(function Sheet({
  ref,
  arrangement,
  band,
  player,
  part,
  look,
  width,
}: {
  readonly ref: Ref<HTMLDivElement>;
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly player: Player;
  readonly part: Part;
  readonly look: SheetLook;
  /** Of the page, in pixels. */
  readonly width: number;
}) {
  const { song, bySpace } = arrangement;
  const playerOf = (id: string): Inks | null => band.players.find((one) => one.id === id) ?? null;
  const breakOf = (passId: string): Inks | null => {
    const pass = song.passes.find(({ id }) => id === passId);
    return band.players.find(({ id }) => pass?.roles[id] === 'break') ?? null;
  };
  const instrumentOf = (id: string): InstrumentName => {
    const one = band.players.find((each) => each.id === id);
    return one ? settingOf(song, one).instrument : 'guitar';
  };
  const own = new Set(
    part.own.filter(({ standing }) => standing.notes.length > 0).map(({ space }) => space.id),
  );
  return (
    <div ref={ref} className="stand-sheet">
      <Head part={part} />
      {arrangement.passes.map((pass) => {
        const played = song.passes.find(({ id }) => id === pass.passId);
        const row = part.order.find(({ passId }) => passId === played?.id);
        const role = row?.role ?? '';
        const others = row ? companyIn(row) : '';
        return (
          <div
            key={pass.passId ?? pass.sectionId}
            className={/^sing|^your break/.test(role) ? undefined : 'stand-others'}
          >
            <PassView
              pass={{ ...pass, lines: ledIn(arrangement, pass, player.id) }}
              name={played ? passName(song, played) : ''}
              margin={<p className="aside">{[role, others].filter((text) => text !== '').join('. ')}</p>}
              detail={() => null}
              {...look.plain}
              sheetWidth={rowWidth(width)}
              lookOf={(line) =>
                holdsAny(line, own) ? look.notes : played?.stanza === null ? look.bare : look.plain
              }
              bySpace={bySpace}
              playerOf={playerOf}
              breakOf={breakOf}
              instrumentOf={instrumentOf}
              songKey={song.key}
              chordName={part.chordName}
              isReadable={isReadable}
              onlyPlayer={player.id}
              barNumbers
              spaces={null}
              troubleOf={(id) => bySpace.get(id)?.misfit ?? null}
            />
          </div>
        );
      })}
    </div>
  );
});

const isReadable = (symbol: string): boolean =>
  parseChord(symbol) !== null || /^n\.?\s*c\.?$/i.test(symbol.trim());

function Head({ part: { head } }: { readonly part: Part }) {
  return (
    <header className="stand-head">
      <h1 data-piece="title">{head.title}</h1>
      <p data-piece="player">
        <strong>{head.player}</strong>, {head.instrument}
        {head.tuning !== '' && `, ${head.tuning}`} · {head.key} · {head.meter} · {head.tempo}, {head.feel}
      </p>
      {head.course.length > 0 && <p data-piece="course">{head.course.join(' ')}</p>}
    </header>
  );
}
