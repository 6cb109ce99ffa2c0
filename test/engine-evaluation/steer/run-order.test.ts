import { expect, it } from 'vitest';
import { ordersOf } from './run-order.ts';

// The simulator's own stone is lived through in every order: what is proposed must be among the good ones of each grill.
it.each([0, 3])(
  'given a run of four on grill %i, proposes an order within 6 per cent of the best of all that were lived through',
  (i) => {
    const orders = ordersOf('tune', i, [2, -2, 0, 2]);
    if (!orders) throw new Error('the stone did not come to its band');
    expect(orders.count).toBe(12);
    expect(orders.proposed).toBeLessThanOrEqual(1.06 * orders.best);
    expect(orders.best).toBeLessThan(orders.worst);
  },
  120_000,
);
