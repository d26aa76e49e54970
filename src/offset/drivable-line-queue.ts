/**
 * An edge in the queue: the radius it has room for, and which of its states that was.
 *
 * @internal
 */
export interface QueuedEdge {
  readonly room: number;
  readonly edge: number;
  readonly stamp: number;
}

/**
 * Edges by rising room, ties by their order along the line: a binary heap.
 *
 * @internal
 */
export class EdgeQueue {
  readonly #items: QueuedEdge[] = [];

  push(room: number, edge: number, stamp: number): void {
    const items = this.#items;
    const item = { room, edge, stamp };
    let i = items.push(item) - 1;
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (!comesBefore(item, items[parent]!)) break;
      items[i] = items[parent]!;
      i = parent;
    }
    items[i] = item;
  }

  pop(): QueuedEdge | undefined {
    const items = this.#items;
    const top = items[0];
    const item = items.pop();
    if (item === undefined || items.length === 0) return top;
    let i = 0;
    for (let child = 1; child < items.length; child = 2 * i + 1) {
      if (child + 1 < items.length && comesBefore(items[child + 1]!, items[child]!)) child++;
      if (!comesBefore(items[child]!, item)) break;
      items[i] = items[child]!;
      i = child;
    }
    items[i] = item;
    return top;
  }
}

function comesBefore(a: QueuedEdge, b: QueuedEdge): boolean {
  return a.room < b.room || (a.room === b.room && a.edge < b.edge);
}
