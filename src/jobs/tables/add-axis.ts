import type { Axis, NewAxis, Store } from '../../store/index.js'
import { rangeAxisName } from '../../units/index.js'

/**
 * Adds an axis; where its dial has several ranges, one for each, called `X-LO` and `X-HI`: all of them or none.
 *
 * @param ranges names of the ranges; empty where the dial has only one
 * @throws UsageError as `Axes.add`
 */
export function addAxis(
  store: Store,
  machineId: number,
  axis: NewAxis,
  ranges: readonly string[],
  nowIso: string,
): [Axis, ...Axis[]] {
  const named = (range: string): NewAxis => ({
    ...axis,
    name: rangeAxisName({ of: axis.name, name: range }),
    range: { of: axis.name, name: range },
  })
  const [first = axis, ...others] = ranges.map(named)
  return store.together(() => [
    store.axes.add(machineId, first, nowIso),
    ...others.map((other) => store.axes.add(machineId, other, nowIso)),
  ])
}
