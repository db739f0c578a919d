'use client';

import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { Evening, OrderAnswer, OrderProgress } from '../../lib/sets';
import type { OrderQuestion, OrderReply } from '../workers/order';

export type OrderState =
  | { readonly state: 'nothing' }
  | { readonly state: 'working'; readonly progress: OrderProgress | null }
  | { readonly state: 'done'; readonly evening: Evening; readonly answer: OrderAnswer }
  | { readonly state: 'failed'; readonly problem: Problem };

const NOTHING: OrderState = { state: 'nothing' };

/** The order of a set, worked out beside the page when it is asked for; `stop` takes the best so far. */
export function useOrder() {
  const worker = useRef<Worker | null>(null);
  const [order, setOrder] = useState<OrderState>(NOTHING);

  const end = useCallback(() => {
    worker.current?.terminate();
    worker.current = null;
  }, []);
  useEffect(() => end, [end]);

  const ask = useCallback(
    (evening: Evening, names: Readonly<Record<string, string>>) => {
      end();
      const current = new Worker(new URL('../workers/order.ts', import.meta.url), { type: 'module' });
      worker.current = current;
      setOrder({ state: 'working', progress: null });
      current.addEventListener('message', ({ data }: MessageEvent<OrderReply>) => {
        if (worker.current !== current) return;
        if (data.kind === 'progress') return setOrder({ state: 'working', progress: data.progress });
        end();
        const { answer } = data;
        setOrder(
          answer.ok
            ? { state: 'done', evening, answer: answer.value }
            : { state: 'failed', problem: answer.error },
        );
      });
      current.addEventListener('error', () => {
        end();
        const problem = {
          what: 'The order could not be worked out',
          where: 'this set',
          mend: 'Ask once more',
        };
        setOrder({ state: 'failed', problem });
      });
      const question: OrderQuestion = { kind: 'order', evening, names };
      current.postMessage(question);
    },
    [end],
  );
  const stop = useCallback(() => {
    const question: OrderQuestion = { kind: 'stop' };
    worker.current?.postMessage(question);
  }, []);
  const forget = useCallback(() => {
    end();
    setOrder(NOTHING);
  }, [end]);
  return { order, ask, stop, forget };
}
