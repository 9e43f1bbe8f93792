import { compareRequest } from '../../machine-requests.js'
import type { Desk } from '../desk.js'
import { type Route, taking } from '../taking.js'
import { comparison } from './compare.js'
import { machineRoutes } from './machines.js'
import { runRoutes } from './runs.js'
import { tableRoutes } from './tables.js'

/** Everything that the place "Machine" may ask. */
export function machinePlaceRoutes(desk: Desk): Route[] {
  return [
    ...machineRoutes(desk),
    ...runRoutes(desk),
    ...tableRoutes(desk),
    taking('compare', compareRequest, (request) => comparison(desk.store, request)),
  ]
}
