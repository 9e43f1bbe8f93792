import { compareRequest } from '../../machine-requests.js'
import type { Desk } from '../desk.js'
import { type Route, taking } from '../taking.js'
import { careRoutes } from './care.js'
import { comparison } from './compare.js'
import { fileRoutes } from './files.js'
import { machineRoutes } from './machines.js'
import { planRoutes } from './plans.js'
import { readoutRoutes } from './readouts.js'
import { runRoutes } from './runs.js'
import { tableRoutes } from './tables.js'

export { fileUploads } from './files.js'

/** Everything that the place "Machine" may ask. */
export function machinePlaceRoutes(desk: Desk): Route[] {
  return [
    ...machineRoutes(desk),
    ...runRoutes(desk),
    ...tableRoutes(desk),
    ...fileRoutes(desk),
    ...careRoutes(desk),
    ...readoutRoutes(desk),
    ...planRoutes(desk),
    taking('compare', compareRequest, (request) => comparison(desk.store, request)),
  ]
}
