import type { Result } from '../../lib/base';
import { type Evening, type OrderAnswer, type OrderProgress, orderInTurns } from '../../lib/sets';

/** What the page asks: one order. `stop` asks for the best so far. */
export type OrderQuestion =
  | { readonly kind: 'order'; readonly evening: Evening; readonly names: Readonly<Record<string, string>> }
  | { readonly kind: 'stop' };

export type OrderReply =
  | { readonly kind: 'progress'; readonly progress: OrderProgress }
  | { readonly kind: 'done'; readonly answer: Result<OrderAnswer> };

let stopped = false;

addEventListener('message', (event: MessageEvent<OrderQuestion>) => {
  const question = event.data;
  if (question.kind === 'stop') {
    stopped = true;
    return;
  }
  void order(question.evening, question.names);
});

/** Between turns the worker hears whether it is to stop. */
async function order(evening: Evening, names: Readonly<Record<string, string>>): Promise<void> {
  const tell = (reply: OrderReply): void => postMessage(reply);
  const turns = orderInTurns(evening, { nameOf: (id) => names[id] ?? id });
  let turn = turns.next(false);
  while (!turn.done) {
    tell({ kind: 'progress', progress: turn.value });
    await new Promise((resolve) => setTimeout(resolve, 0));
    turn = turns.next(stopped);
  }
  tell({ kind: 'done', answer: turn.value });
}
