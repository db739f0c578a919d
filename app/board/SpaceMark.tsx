import type { Inks } from './inks';

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
  readonly spaceId: string;
  readonly press: () => void;
}) {
  const style = { left, width, height };
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
  return (
    <button
      type="button"
      className="space-reach"
      data-space={spaceId}
      data-goes-on={goesOn}
      data-open={isOpen}
      style={style}
      aria-label={label}
      aria-expanded={isOpen}
      onClick={press}
    >
      {peers.length > 0 && (
        <span className="peers" aria-hidden="true">
          {peers.map((peer) => (
            <span key={peer.initials + peer.name} style={{ color: `var(--ink-${peer.ink})` }}>
              {peer.initials}
            </span>
          ))}
        </span>
      )}
    </button>
  );
}
