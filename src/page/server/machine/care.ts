import { listPorts } from '../../../ingest/index.js'
import { brokenOff, examine, finishBrokenOff } from '../../../jobs/index.js'
import type { Store } from '../../../store/index.js'
import type { DoctorAnswer, FinishedAnswer } from '../../machine-api.js'
import { axisRequest } from '../../requests.js'
import { onPage } from '../../wording.js'
import { type Desk, nowIso } from '../desk.js'
import { postRoute, type Route } from '../http/post-route.js'
import { pageRun } from '../measure/page-run.js'

/** What may be wrong with the store, the disk, the clocks and the ports, and recordings that were broken off. */
export function careRoutes({ store, send }: Desk): Route[] {
  return [
    ['GET /api/doctor', () => doctor(store)],
    postRoute('runs/finish', axisRequest, ({ axisId }) => {
      const answer = finished(store, axisId)
      send({ kind: 'changed', axisId })
      return answer
    }),
  ]
}

async function doctor(store: Store): Promise<DoctorAnswer> {
  const findings = await examine(store.path, await listPorts())
  return {
    findings: findings.map(({ check, state, finding, wayOut }) => ({
      ...{ check, state, finding },
      wayOut: wayOut === null ? null : onPage(wayOut),
    })),
    brokenOff: brokenOffAxes(store),
  }
}

/** Axes with recordings that were broken off; none where a damaged store does not tell. */
function brokenOffAxes(store: Store): DoctorAnswer['brokenOff'] {
  try {
    return store.machines.list().flatMap((machine) =>
      store.axes.list(machine.id).flatMap((axis) => {
        const recordings = brokenOff(store, axis).length
        return recordings === 0
          ? []
          : [{ axisId: axis.id, name: `${machine.name} · ${axis.name}`, recordings }]
      }),
    )
  } catch {
    // The findings say what is damaged.
    return []
  }
}

function finished(store: Store, axisId: number): FinishedAnswer {
  const { judged, readAgain, empty } = finishBrokenOff(store, store.axes.byId(axisId), nowIso())
  return {
    runs: judged.flatMap(({ runs }) => runs.map(pageRun)),
    problems: [
      ...judged.flatMap(({ failure }) => (failure === null ? [] : onPage(failure.inFull))),
      ...readAgain.map((path) => `The reading of ${path} was broken off: take the file in again.`),
      ...(empty === 0
        ? []
        : [`${empty === 1 ? 'One recording' : `${empty} recordings`} held nothing to judge.`]),
    ],
  }
}
