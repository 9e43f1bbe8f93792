import { UsageError } from '../../../errors/index.js'
import { runSamples } from '../../../jobs/index.js'
import { runPicture, runTrack } from '../../../pictures/index.js'
import type { Axis, Store } from '../../../store/index.js'
import { runHeading } from '../../../words/index.js'
import type { DrawingAnswer } from '../../machine-api.js'
import { axisOf, type Desk } from '../desk.js'
import type { Route } from '../http/post-route.js'
import { inlineSvg } from '../look-up/inline-svg.js'
import { unitShown } from '../unit-shown.js'

/** Single runs: the picture of one. */
export function runRoutes({ store }: Desk): Route[] {
  return [
    [
      'GET /api/run/picture',
      (_, query) => picture(store, axisOf(store, query), query.get('run') ?? '', query.get('unit')),
    ],
  ]
}

/** @throws UsageError `unknown-run`, `other-axis`; DataError `no-track` for a run by stopwatch */
function picture(store: Store, axis: Axis, runId: string, asked: string | null): DrawingAnswer {
  const run = store.runs.get(runId)
  if (run.axisId !== axis.id) {
    throw new UsageError(
      'other-axis',
      'This run was not made on this axis.',
      'Choose its axis, then open it again.',
    )
  }
  const machine = store.machines.byId(axis.machineId)
  const unit = unitShown(asked, axis)
  const track = runTrack(runSamples(store, axis, run), run.phases, run.feed?.ripple ?? null)
  return { svg: inlineSvg(runPicture(runHeading(run, { machine, axis }, unit), track, unit)) }
}
