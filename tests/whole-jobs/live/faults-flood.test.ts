import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { describe, expect, it } from 'vitest'

interface Replay {
  lines: number
  peakBytes: number
  runs: number
  accepted: number
}

describe('a flood of lines', () => {
  it('three minutes at 100 lines a second take hardly more memory than one, and every whole traverse is found', async () => {
    const { stdout } = await promisify(execFile)(process.execPath, [
      'scripts/flood.js',
      '--minutes',
      '3',
      '--json',
    ])
    const { long, short } = JSON.parse(stdout) as { long: Replay; short: Replay }
    expect(long.lines).toBeGreaterThan(17_900)
    expect(long.accepted).toBeGreaterThanOrEqual(3)
    // Half as much again as for one minute would be a line kept somewhere.
    expect(long.peakBytes).toBeLessThan(1.5 * short.peakBytes)
  })
})
