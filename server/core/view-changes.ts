import type { EngineOutput, EngineView } from '../../shared/engine.ts';

type Standing = EngineView['alerts'][number];

const isOf = (a: Standing, b: Standing): boolean => a.alert === b.alert && a.pizza === b.pizza;

function changeOf(alert: Standing, before: Standing | undefined, t: number): EngineOutput[] {
  const { state, alert: name, message, urgency, why, pizza } = alert;
  if (before?.state === state) return [];
  const ofPizza = pizza === undefined ? {} : { pizza };
  if (state === 'unacknowledged')
    return [{ t, type: 'alert', alert: name, message, urgency, why, ...ofPizza }];
  return [{ t, type: 'alert-state', alert: name, state, ...ofPizza }];
}

/** What the engine would have said at `t` s, had it come from the one view to the other by itself. */
export function changesBetween(before: EngineView, after: EngineView, t: number): EngineOutput[] {
  const gone = before.alerts.filter((alert) => !after.alerts.some((other) => isOf(alert, other)));
  return [
    ...(after.state === before.state
      ? []
      : [{ t, type: 'state' as const, state: after.state, why: after.why }]),
    ...(after.forecast ? [after.forecast] : []),
    ...gone.map(({ alert, pizza }): EngineOutput => ({
      t,
      type: 'alert-state',
      alert,
      state: 'normal',
      ...(pizza !== undefined && { pizza }),
    })),
    ...after.alerts.flatMap((alert) =>
      changeOf(
        alert,
        before.alerts.find((other) => isOf(alert, other)),
        t,
      ),
    ),
    ...(after.advice && after.advice.t !== before.advice?.t ? [after.advice] : []),
  ];
}
