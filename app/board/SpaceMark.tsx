import { standsAt } from './geometry';
import type { Inks } from './inks';
import { Pencil } from './Pencil';

/** The part of a space that can be touched. The first part is the button that keys and screen readers reach. */
export function SpaceMark({
  isFirst,
  goesOn,
  left,
  width,
  height,
  label,
  isOpen,
  peers,
  isPut,
  spaceId,
  press,
}: {
  readonly isFirst: boolean;
  /** True where its frame goes on beyond the barline; that of a whole break is its first bar's. */
  readonly goesOn: boolean;
  readonly left: number;
  readonly width: number;
  readonly height: number;
  readonly label: string;
  readonly isOpen: boolean;
  readonly peers: readonly Inks[];
  /** Something was put to the band here. */
  readonly isPut: boolean;
  readonly spaceId: string;
  readonly press: () => void;
}) {
  const style = { ...standsAt(left, 0), width, height };
  if (!isFirst) {
    return (
      // biome-ignore lint/a11y/noStaticElementInteractions: a longer reach for the pointer; the button before it is for everybody
      // biome-ignore lint/a11y/useKeyWithClickEvents: likewise
      <div
        className="space-reach"
        data-comes-on="true"
        data-goes-on={goesOn}
        data-open={isOpen}
        style={style}
        onClick={press}
      />
    );
  }
  const here = peers.map(({ name }) => name).join(', ');
  return (
    <>
      <button
        type="button"
        className="space-reach"
        data-space={spaceId}
        data-put={isPut}
        data-goes-on={goesOn}
        data-open={isOpen}
        style={style}
        aria-label={here === '' ? label : `${label}; ${here} ${peers.length === 1 ? 'is' : 'are'} here`}
        aria-expanded={isOpen}
        onClick={press}
      >
        {isPut && <Pencil />}
      </button>
      {peers.length > 0 && (
        <span className="peers" aria-hidden="true" style={standsAt(left + 2, height - 9)}>
          {peers.map((peer) => (
            <span key={peer.initials + peer.name} style={{ color: `var(--ink-${peer.ink})` }}>
              {peer.initials}
            </span>
          ))}
        </span>
      )}
    </>
  );
}
