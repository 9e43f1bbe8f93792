import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../../src/simulation/index.js'
import {
  errorOf,
  failedScenes,
  listening,
  offFrom,
  runsOf,
  type Scenes,
} from '../../harness/live/live-bench.js'
import { LIVE_READOUT, playRun } from '../../harness/live/play-run.js'

const RUN = { dial: 8, direction: 1, travelS: 7, restAfterS: 4.5 } as const

/** Plays one run and expects its true feed. */
async function expectTrueFeed(run: Parameters<typeof playRun>[1]): Promise<void> {
  const { device, program } = await listening()
  const truth = await playRun(device, run)
  const result = await program.ended
  const runs = runsOf(result)
  expect(runs.map(({ accepted }) => accepted)).toEqual([true])
  expect(offFrom(runs[0], truth)).toBeLessThan(0.01)
}

/** Lines whose numbers have three decimals instead of four from a time on. */
const fewerDecimals = (fromS: number) => (bytes: Uint8Array, sampledS: number) =>
  sampledS < fromS
    ? bytes
    : Buffer.from(
        Buffer.from(bytes)
          .toString('latin1')
          .replace(/(\.\d{3})\d/, '$1'),
        'latin1',
      )

// Every scene has a program and a device of its own, so they play side by side.
describe('faults of the lines, each on a real pseudo-terminal', () => {
  it('are told by name, or do not hurt', async () => {
    const scenes: Scenes = {
      'CR alone ends the lines': () =>
        expectTrueFeed({ ...RUN, seed: 61, readout: { ...LIVE_READOUT, terminator: '\r' } }),
      'LF alone ends the lines': () =>
        expectTrueFeed({ ...RUN, seed: 62, readout: { ...LIVE_READOUT, terminator: '\n' } }),
      'half a line at the start and bursts of garbage between the lines': () => {
        const random = seededRandom(63)
        let line = 0
        return expectTrueFeed({
          ...RUN,
          seed: 63,
          readout: { ...LIVE_READOUT, faults: { startsMidLine: true } },
          change: (bytes) => {
            line += 1
            if (line % 40 !== 20) return bytes
            const garbage = Array.from({ length: 60 }, () => Math.floor(256 * random.uniform()))
            return Buffer.concat([Buffer.from(garbage), bytes])
          },
        })
      },
      'the decimals change midway': () => expectTrueFeed({ ...RUN, seed: 64, change: fewerDecimals(3.5) }),
      'zeroed midway': async () => {
        const { device, program } = await listening()
        await playRun(device, { ...RUN, seed: 65, readout: { ...LIVE_READOUT, faults: { zeroedAtS: 3.5 } } })
        const result = await program.ended
        expect(result.exitCode, result.stderr).toBe(1)
        expect(runsOf(result).map(({ accepted }) => accepted)).toEqual([false])
        expect(runsOf(result)[0]!.warnings[0]).toMatchObject({ code: 'zeroed-midway' })
        expect(errorOf(result).message).toMatch(/zero/)
      },
      'the same value for 1 s while the table moves': async () => {
        const { device, program } = await listening()
        let frozen: Uint8Array | null = null
        const change = (bytes: Uint8Array, sampledS: number): Uint8Array => {
          if (sampledS < 3.5 || sampledS > 4.5) return bytes
          frozen ??= bytes
          return frozen
        }
        await playRun(device, { ...RUN, seed: 66, change })
        const result = await program.ended
        expect(result.exitCode, result.stderr).toBe(1)
        for (const run of runsOf(result)) {
          expect(run.accepted).toBe(false)
          expect(['stopped-midway', 'slipped']).toContain(run.warnings[0]?.code)
        }
      },
    }
    expect(await failedScenes(scenes)).toEqual([])
  })
})
