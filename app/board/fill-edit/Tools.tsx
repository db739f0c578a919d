'use client';

import type { ReactNode } from 'react';
import type { KeyName } from '../../hooks/useKeys';
import { Key, shortcutFor } from '../../ui/Key';

interface ToolsProps {
  /** 0: a voice. */
  readonly strings: number;
  readonly bowed: boolean;
  readonly hasNote: boolean;
  readonly mayKeep: boolean;
  readonly along: (by: number) => void;
  readonly across: (by: number) => void;
  readonly step: (by: number) => void;
  readonly move: (by: number) => void;
  readonly lengthen: (by: number) => void;
  readonly takeOut: () => void;
  readonly slur: () => void;
  readonly how: (articulation: 'slide' | 'choke' | 'struck') => void;
  readonly undo: (() => void) | null;
  readonly redo: (() => void) | null;
  readonly keep: () => void;
  readonly close: () => void;
}

/** What the keys of a fill under change do, as buttons for a finger. */
export function Tools(props: ToolsProps) {
  const { strings, hasNote } = props;
  const none = !hasNote;
  return (
    <>
      <div className="fill-tools" role="toolbar" aria-label="Where">
        <Tool name="ArrowLeft" label="Back along the beats" press={() => props.along(-1)}>
          ←
        </Tool>
        <Tool name="ArrowRight" label="On along the beats" press={() => props.along(1)}>
          →
        </Tool>
        <Tool name="ArrowUp" label={strings === 0 ? 'Higher' : 'String above'} press={() => props.across(-1)}>
          ↑
        </Tool>
        <Tool name="ArrowDown" label={strings === 0 ? 'Lower' : 'String below'} press={() => props.across(1)}>
          ↓
        </Tool>
        {strings > 0 && (
          <>
            <Tool name="-" shown press={() => props.step(-1)} disabled={none}>
              fret down
            </Tool>
            <Tool name="+" shown press={() => props.step(1)}>
              {none ? 'a note here' : 'fret up'}
            </Tool>
          </>
        )}
        <Tool name="Delete" shown press={props.takeOut} disabled={none}>
          take it out
        </Tool>
      </div>
      <div className="fill-tools" role="toolbar" aria-label="How">
        {strings > 0 && (
          <>
            <Tool name="h" shown press={props.slur} disabled={none}>
              {props.bowed ? 'slur' : 'hammer or pull'}
            </Tool>
            <Tool name="s" shown press={() => props.how('slide')} disabled={none}>
              slide
            </Tool>
            {!props.bowed && (
              <Tool name="c" shown press={() => props.how('choke')} disabled={none}>
                choke
              </Tool>
            )}
            <Tool name="t" shown press={() => props.how('struck')} disabled={none}>
              {props.bowed ? 'a bow of its own' : 'struck'}
            </Tool>
          </>
        )}
        <Tool name="shift+ArrowLeft" shown press={() => props.move(-1)} disabled={none}>
          earlier
        </Tool>
        <Tool name="shift+ArrowRight" shown press={() => props.move(1)} disabled={none}>
          later
        </Tool>
        <Tool name="<" shown press={() => props.lengthen(-1)} disabled={none}>
          shorter
        </Tool>
        <Tool name=">" shown press={() => props.lengthen(1)} disabled={none}>
          longer
        </Tool>
      </div>
      <div className="fill-tools" role="toolbar" aria-label="Done">
        <Tool name="Enter" shown press={props.keep} disabled={!props.mayKeep}>
          Settle it so
        </Tool>
        <Tool name="mod+z" shown press={() => props.undo?.()} disabled={props.undo === null}>
          take back
        </Tool>
        <Tool name="mod+shift+z" shown press={() => props.redo?.()} disabled={props.redo === null}>
          again
        </Tool>
        <Tool name="Escape" shown press={props.close}>
          stop changing it
        </Tool>
      </div>
    </>
  );
}

/** A button whose key the fill's own field answers. */
function Tool({
  name,
  label,
  shown = false,
  press,
  disabled = false,
  children,
}: {
  readonly name: KeyName;
  readonly label?: string;
  /** True: its key stands beside it. */
  readonly shown?: boolean;
  readonly press: () => void;
  readonly disabled?: boolean;
  readonly children: ReactNode;
}) {
  return (
    <button
      type="button"
      className="plain fill-tool"
      aria-label={label}
      aria-keyshortcuts={shortcutFor(name)}
      disabled={disabled}
      onClick={press}
    >
      <span className="fill-word">{children}</span>
      {shown && <Key name={name} />}
    </button>
  );
}
