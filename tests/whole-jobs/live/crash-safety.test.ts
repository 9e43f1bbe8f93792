import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import { describe, expect, it } from 'vitest'

interface Report {
  scenes: Record<string, { kills: number; unsound: number; linesDue: number; linesLost: number }>
  left: unknown[]
  finishExitCode: number
}

describe('the program killed at a random moment', () => {
  it('leaves a sound store with every line older than a second, and what was broken off is judged', async () => {
    const { stdout } = await promisify(execFile)(process.execPath, [
      'scripts/torture.js',
      '--kills',
      '6',
      '--seed',
      '7',
      '--json',
    ])
    const report = JSON.parse(stdout) as Report
    const scenes = Object.values(report.scenes)
    expect(scenes.map(({ unsound, linesLost }) => ({ unsound, linesLost }))).toEqual(
      scenes.map(() => ({ unsound: 0, linesLost: 0 })),
    )
    expect(report.scenes.live!.linesDue).toBeGreaterThan(0)
    expect(report.left).toEqual([])
    expect(report.finishExitCode).toBe(0)
  })
})
