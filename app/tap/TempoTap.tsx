'use client';

import { useEffect, useRef, useState } from 'react';
import { tempoInSigns } from '../../lib/parts';
import { type TappedTempo, tempoOfTaps } from '../../lib/taps';
import type { Meter } from '../../lib/time';
import { Button } from '../ui/Button';
import { Pad } from './Pad';
import { useTaps } from './useTaps';

/** The tempo tapped, beat by beat: what the taps say at once, and kept only when asked. */
export function TempoTap({
  meter,
  keep,
  close,
}: {
  readonly meter: Meter;
  readonly keep: (tapped: TappedTempo) => void;
  readonly close: () => void;
}) {
  const [seconds, setSeconds] = useState<readonly number[]>([]);
  const taps = useTaps(
    true,
    () => {},
    ({ downSeconds }) => setSeconds((all) => [...all, downSeconds]),
  );
  const pad = useRef<HTMLButtonElement>(null);
  useEffect(() => pad.current?.focus(), []);
  const found = seconds.length === 0 ? null : tempoOfTaps(seconds, meter, Date.now());
  return (
    <section aria-label="Tap the tempo" className="tap-tempo">
      <h2 className="italic">Tap the tempo</h2>
      <p className="aside">
        Tap every beat as you would sing it: Space, Enter or the field. A pause begins anew.
      </p>
      <Pad taps={taps} ref={pad}>
        Tap each beat
      </Pad>
      <p role="status" className="plain">
        {found?.ok
          ? `${tempoInSigns(found.value.tempo, meter)}, between ${Math.round(found.value.range.low)} and ${Math.round(found.value.range.high)}, from ${found.value.beats} beats`
          : seconds.length > 0
            ? `${seconds.length} ${seconds.length === 1 ? 'beat' : 'beats'}; four or more make a tempo`
            : 'No beats yet'}
      </p>
      <div className="flex flex-wrap gap-x-6">
        <Button
          look="main"
          shortcut="e"
          disabled={!found?.ok}
          onPress={() => {
            if (found?.ok) keep(found.value);
          }}
        >
          Keep this tempo
        </Button>
        <Button onPress={() => setSeconds([])} shortcut="a">
          Anew
        </Button>
        <Button onPress={close} shortcut="Escape">
          Leave it
        </Button>
      </div>
    </section>
  );
}
