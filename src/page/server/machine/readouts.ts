import { UsageError } from '../../../errors/index.js'
import { type Framing, listPorts, parseFraming, portAccess } from '../../../ingest/index.js'
import { cautionsFor, type StatedLength, USUAL_MOVE_ERROR_SHARE } from '../../../jobs/index.js'
import { parseLengthMm } from '../../../units/index.js'
import { learnRequest, moveRequest, saveProfileRequest } from '../../machine-requests.js'
import type { ReadoutsAnswer } from '../../readout-api.js'
import { emptyRequest } from '../../requests.js'
import type { Desk } from '../desk.js'
import { postRoute, type Route } from '../http/post-route.js'
import { checkListedPort } from '../measure/readout-choices.js'

/** Ports and what can be done with them, and learning a readout. */
export function readoutRoutes({ store, live, learning, readoutPorts }: Desk): Route[] {
  return [
    ['GET /api/readouts', () => readouts(readoutPorts, live.port)],
    ['GET /api/learning', () => learning.state],
    postRoute('readout/learn', learnRequest, async ({ port, baudRate, framing }) => {
      await checkListedPort({ port }, readoutPorts)
      if (live.isOpen) {
        throw new UsageError('readout-open', 'A readout is connected.', 'Disconnect it first.')
      }
      const pinned: { baudRate?: number; framing?: Framing } = {
        ...(baudRate === null ? {} : { baudRate }),
        ...(framing === '' ? {} : { framing: parseFraming(framing) }),
      }
      learning.begin(port, pinned)
    }),
    postRoute('readout/move', moveRequest, ({ axisId, column, knownMove, moveError }) => {
      const { unit, rotary } = store.axes.byId(axisId)
      const length = (text: string, what: string) => positive(parseLengthMm(text, unit, what), what)
      const stated = (): StatedLength => {
        const lengthMm = length(knownMove, 'Length of the move')
        const errorMm =
          moveError.trim() === ''
            ? USUAL_MOVE_ERROR_SHARE * lengthMm
            : length(moveError, 'How far it may be off')
        return { lengthMm, errorMm, rotary }
      }
      learning.watchMove({ column, knownMove: knownMove.trim() === '' ? null : stated() })
    }),
    postRoute('readout/moved', emptyRequest, () => learning.moved()),
    postRoute('readout/choose', moveRequest.pick({ column: true }), ({ column }) => {
      if (column !== null) learning.choose(column)
    }),
    postRoute('readout/save', saveProfileRequest, ({ name, replace }) => learning.save(name, replace)),
    postRoute('readout/stop', emptyRequest, () => learning.stop()),
  ]
}

function positive(value: number, what: string): number {
  if (value > 0) return value
  throw new UsageError('bad-length', `${what}: it must be above zero.`, 'Write it like 0.1in or 5mm.')
}

/** @param connected the port that the page itself follows: that it is in use is no trouble */
async function readouts(named: readonly string[], connected: string | null): Promise<ReadoutsAnswer> {
  const found = await listPorts()
  const all = [
    ...found.map(({ path, stablePath, description }) => ({ path, stablePath, description })),
    ...named
      .filter((path) => !found.some((port) => port.path === path || port.stablePath === path))
      .map((path) => ({ path, stablePath: null, description: 'named at the start' })),
  ]
  return {
    ports: await Promise.all(
      all.map(async ({ path, stablePath, description }) => ({
        path: stablePath ?? path,
        description,
        ...(connected !== null && (connected === path || connected === stablePath)
          ? { access: 'connected', advice: null }
          : await portAccess(path)),
      })),
    ),
    cautions: cautionsFor('beforeAxisMove').cautions,
  }
}
