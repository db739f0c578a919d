import type { Ref } from 'react';
import { Key } from '../ui/Key';
import type { Taps } from './useTaps';

/** Where to hold with finger or mouse; space and Enter do the same wherever the page has the keys. */
export function Pad({
  taps,
  children,
  ref,
}: {
  readonly taps: Taps;
  readonly children: string;
  readonly ref?: Ref<HTMLButtonElement>;
}) {
  return (
    <button
      ref={ref}
      type="button"
      data-pad=""
      className="tap-pad plain"
      data-held={taps.isHeld}
      aria-keyshortcuts="Space Enter"
      onPointerDown={(event) => {
        event.preventDefault();
        event.currentTarget.focus();
        event.currentTarget.setPointerCapture(event.pointerId);
        taps.down(event.timeStamp);
      }}
      onPointerUp={(event) => taps.up(event.timeStamp)}
      onPointerCancel={(event) => taps.up(event.timeStamp)}
      onContextMenu={(event) => event.preventDefault()}
    >
      <span>{children}</span>
      {!taps.isHeld && <Key name="Space" />}
    </button>
  );
}
