import { describe, expect, test } from 'vitest'
import { hostClock, ingestLines, type StampedLine, sessionTiming } from '../../src/ingest/index.js'
import { judgeAgain } from '../../src/jobs/index.js'
import { LiveRecorder } from '../../src/jobs/live/live-recorder.js'
import { judgeReadoutTakes } from '../../src/jobs/record/judge-takes.js'
import {
  arrivingChunks,
  type DeviceTimeColumn,
  INCH_READOUT,
  QUILLFEN_MILL,
  readoutLines,
  type SimulatedRun,
  simulateRun,
  stampedLines,
  USB_LINK,
} from '../../src/simulation/index.js'
import { addAxis, newStore } from '../store/store-samples.js'

// A resonator 0.4 % fast would put every feed 0.4 % off; rated over the session it must hold to some hundredths of
// that, whatever the counter's width, and wrapping in nearly every recording.

const RECORDINGS = 8
const RATE_ERROR = 0.004

const RUNS: readonly SimulatedRun[] = Array.from({ length: RECORDINGS }, (_, i) =>
  simulateRun(
    QUILLFEN_MILL,
    { dial: 4 + (i % 3), direction: i % 2 === 0 ? 1 : -1, drivenMm: 300, longestS: 30 },
    500 + i,
  ),
)

/** The lines of one recording; each begins with the clock where the session has come to, 70 s later than the last. */
function linesOf(run: SimulatedRun, bits: 16 | 32, index: number): StampedLine[] {
  const deviceTime: DeviceTimeColumn = {
    place: 'first',
    bits,
    rateError: RATE_ERROR,
    startsAtMs: 4_294_900_000 * Number(bits === 32) + 70_000 * index,
  }
  const readout = { ...INCH_READOUT, refreshHz: 20, deviceTime }
  return [...stampedLines(arrivingChunks(readoutLines(run.motion, readout, index), USB_LINK, index))]
}

const ingested = (lines: readonly StampedLine[]) => ingestLines(lines, { axis: 'X', bareUnit: 'in' })

describe.each([16, 32] as const)('a session of many recordings with a %i-bit clock that wraps', (bits) => {
  const takes = RUNS.map((run, i) => ingested(linesOf(run, bits, i)))

  test('rates the clock better than one recording can', () => {
    const alone = sessionTiming(takes.slice(0, 1)).deviceClock!
    const { deviceClock } = sessionTiming(takes)
    expect(Math.abs(deviceClock!.rate * (1 + RATE_ERROR) - 1)).toBeLessThan(
      3 * deviceClock!.standardUncertainty,
    )
    expect(deviceClock!.standardUncertainty).toBeLessThan(1.5e-5)
    expect(deviceClock!.standardUncertainty).toBeLessThan(0.6 * alone.standardUncertainty)
  })

  test('times every run by it, says so, and holds the true feeds', () => {
    const judged = judgeReadoutTakes(takes, QUILLFEN_MILL)
    for (const [i, run] of RUNS.entries()) {
      const [found] = judged[i]!
      const { runFeedMmPerMin } = run.truth
      expect(found?.clock?.kind).toBe('device')
      expect(found?.clock?.uncertaintyMmPerMin).toBeGreaterThan(0)
      expect(found?.clock?.uncertaintyMmPerMin).toBeLessThanOrEqual(found!.feed!.standardUncertaintyMmPerMin)
      // 1 in 25 000, a hundredth of what the resonator is off by.
      expect(Math.abs(found!.feed!.feedMmPerMin / runFeedMmPerMin - 1)).toBeLessThan(4e-5)
    }
  })

  test.each<[string, string, (ms: number, line: number) => number]>([
    ['was set anew', 'device-clock-jumped', (ms, line) => (line < 300 ? ms : ms + 20_000)],
    ['stood still', 'device-clock-stopped', (ms, line) => (line < 300 ? ms : -1)],
  ])('a recording in which it %s is timed by the host, and told', (_, code, change) => {
    let stopped = 0
    const spoiled = linesOf(RUNS[2]!, bits, 2).map((line, i) => {
      const [ms, rest] = line.text.split(' ')
      if (i === 299) stopped = Number(ms)
      const shown = change(Number(ms), i)
      return { ...line, text: `${shown < 0 ? stopped : shown % 2 ** bits} ${rest}` }
    })
    const judged = judgeReadoutTakes([takes[0]!, ingested(spoiled), takes[1]!], QUILLFEN_MILL)
    expect(judged.map(([run]) => run?.clock?.kind)).toEqual(['device', 'host', 'device'])
    const codes = judged.map(([run]) => run!.warnings.map((warning) => warning.code))
    expect(codes[1]).toContain(code)
    expect(codes[0]).not.toContain(code)
    const [spoiledRun] = judged[1]!
    expect(spoiledRun!.warnings.find((warning) => warning.code === code)!.message).toMatch(
      /own clock .* at \d+\.\d s, so the arrival times are used instead/,
    )
    expect(Math.abs(spoiledRun!.feed!.feedMmPerMin / RUNS[2]!.truth.runFeedMmPerMin - 1)).toBeLessThan(4e-4)
  })
})

describe('a live session, judged recording by recording', () => {
  test('rates the clock the better the longer it goes on, and comes out the same when judged again', () => {
    const store = newStore()
    const axis = addAxis(store)
    const session = store.sessions.start({
      ...{ axisId: axis.id, procedure: 'standard', plan: {}, source: 'readout' as const },
      startedAt: '2026-05-04T08:00:00.000Z',
    })
    const settings = { profile: null, bareUnit: 'in' as const, countLengthMm: null, fromSpreadsheet: false }
    const recorder = new LiveRecorder(
      store,
      axis,
      { settings, origin: 'port', clock: hostClock() },
      {
        onConclusions: () => {},
        onSample: () => {},
        onMotion: () => {},
        onOtherAxis: () => {},
        onFailure: (error) => expect(error).toBeNull(),
      },
    )
    const shares = RUNS.map((run, i) => {
      const startedAt = `2026-05-04T08:0${i}:00.000Z`
      const step = { id: session.id, step: i + 1 }
      recorder.begin(5, { dialReset: true, tags: {}, note: null, startedAt, session: step }, 3)
      for (const line of linesOf(run, 32, i)) recorder.line({ ...line, timeS: line.timeS + 100 * i })
      const [judged] = recorder.finish(startedAt)!.runs
      expect(judged!.clock!.kind).toBe('device')
      return judged!.clock!.uncertaintyMmPerMin / judged!.feed!.feedMmPerMin
    })
    expect(shares.at(-1)).toBeLessThan(0.6 * shares[0]!)
    expect(judgeAgain(store, axis, '2026-05-05T08:00:00.000Z')).toEqual({ runs: RECORDINGS, changed: 0 })
  })
})
