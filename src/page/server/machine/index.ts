import { compareRequest } from '../../machine-requests.js'
import type { Desk } from '../desk.js'
import { postRoute, type Route } from '../http/post-route.js'
import type { UploadHandler } from '../http/upload.js'
import { careRoutes } from './care.js'
import { comparison } from './compare.js'
import { fileRoutes, fileUploads } from './files.js'
import { machineRoutes } from './machines.js'
import { planRoutes } from './plans.js'
import { readoutRoutes } from './readouts.js'
import { recordingUploads } from './recordings.js'
import { runRoutes } from './runs.js'
import { tableRoutes } from './tables.js'

/** Every file that the place "Machine" may hand over. */
export function machineUploads(desk: Desk): [string, UploadHandler][] {
  return [...fileUploads(desk), ...recordingUploads(desk)]
}

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
    postRoute('compare', compareRequest, (request) => comparison(desk.store, request)),
  ]
}
