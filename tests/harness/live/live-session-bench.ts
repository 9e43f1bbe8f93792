import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import type { DeviceError } from '../../../src/errors/index.js'
import type { ReconnectingReadoutOptions } from '../../../src/ingest/index.js'
import { GuidedSession, type LiveEvent, LiveSession } from '../../../src/jobs/index.js'
import type { Procedure } from '../../../src/planning/index.js'
import { QUILLFEN_MILL, type RunTruth, readoutLines, simulateRun } from '../../../src/simulation/index.js'
import { openStore } from '../../../src/store/index.js'
import { temporaryFolder } from '../program.js'
import { LIVE_READOUT } from './play-run.js'
import { PlayedClock } from './played-clock.js'

const NOW = '2026-03-01T10:00:00.000Z'

export const TWO_STEPS: Procedure = {
  name: 'two steps',
  title: 'One mark, there and back',
  marks: [8],
  passes: ['up'],
  directions: ['+', '-'],
  source: 'readout',
  minimumTravelTimeS: 4,
  longestTravelShare: 0.8,
  restS: 1,
  resetDial: true,
  cautions: [],
}

/**
 * A live session in this process, with a real store, a clock that the test moves and a port whose lines the test plays:
 * nothing waits, and nothing depends on the speed of the machine.
 */
export async function liveSessionBench(travelMm = 500) {
  const store = openStore(join(temporaryFolder(), 'store.db'), { mode: 'write' })
  onTestFinished(() => store.close())
  const machine = store.machines.add({ name: 'Bench', unit: 'in', spindleRpm: [] }, NOW)
  const axis = store.axes.add(
    machine.id,
    {
      ...{ name: 'X', travelMm, dialMin: 0, dialMax: 10, marks: [8] },
      ...{ stepped: false, leadscrewPitchMm: null, dialClicks: false },
    },
    NOW,
  )
  const clock = new PlayedClock()
  const events: LiveEvent[] = []
  let port: ReconnectingReadoutOptions | null = null
  const settings = { profile: null, bareUnit: 'in' as const, countLengthMm: null, fromSpreadsheet: false }
  const live = await LiveSession.open(
    store,
    axis,
    { path: 'port', link: { baudRate: 9600 }, settings },
    (event) => events.push(event),
    {
      clock,
      nowIso: () => NOW,
      openPort: async (options) => {
        port = options
        return { close: async () => options.onClose(null) }
      },
    },
  )
  const line = (text: string): void => port!.onLine({ timeS: clock.nowS(), text })
  return {
    store,
    axis,
    clock,
    live,
    line,
    port: port! as ReconnectingReadoutOptions,
    events,
    /** Kinds of the events, in order; samples are left out. */
    told: () => events.map(({ kind }) => kind).filter((kind) => kind !== 'sample'),
    steps: (procedure = TWO_STEPS) =>
      GuidedSession.open(store, axis, { procedure, source: 'readout', fresh: false }, NOW),
    /** Plays a traverse at dial 8: `travelS` between two rests, as far as it lies between the two times. */
    play: (run: {
      readonly direction: 1 | -1
      readonly seed: number
      readonly travelS: number
      readonly fromS?: number
      readonly untilS?: number
    }): RunTruth => {
      const drivenMm = (QUILLFEN_MILL.curve(8) * run.travelS) / 60
      const request = { dial: 8, direction: run.direction, drivenMm, restBeforeS: 1.5, restAfterS: 4.5 }
      const { motion, truth } = simulateRun(QUILLFEN_MILL, request, run.seed)
      let atS = run.fromS ?? 0
      for (const { sampledS, bytes } of readoutLines(motion, LIVE_READOUT, run.seed)) {
        if (sampledS < atS || sampledS > (run.untilS ?? Number.POSITIVE_INFINITY)) continue
        clock.advance(sampledS - atS)
        atS = sampledS
        line(Buffer.from(bytes).toString('latin1').trimEnd())
      }
      return truth
    },
    lose: (error: DeviceError) => port!.onLost({ kind: 'port', error, waitS: 60 }),
    back: () => port!.onBack(1),
  }
}
