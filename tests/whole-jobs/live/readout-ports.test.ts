import { describe, expect, it } from 'vitest'
import { runProgram, temporaryFolder } from '../../harness/program.js'

interface PortsJson {
  ports: { path: string; access: string; advice: string | null }[]
}

describe('readout ports', () => {
  it.each([
    ['with what the system tells', false],
    ['on a machine without the service that knows them', true],
  ])('lists ports %s', async (_, bare) => {
    const env = bare ? { PATH: temporaryFolder() } : {}
    const { exitCode, stdout, stderr } = await runProgram(['readout', 'ports', '--json'], { env })
    expect(exitCode, stderr).toBe(0)
    for (const { path, access, advice } of (JSON.parse(stdout) as PortsJson).ports) {
      expect(path).not.toBe('')
      expect(['free', 'denied', 'busy', 'unknown']).toContain(access)
      expect(advice !== null).toBe(access === 'denied' || access === 'busy')
    }
  })

  it('says what to do where there is none, or where each one stands', async () => {
    const { exitCode, stdout } = await runProgram(['readout', 'ports'])
    expect(exitCode).toBe(0)
    expect(stdout).toMatch(/No serial port found\. Plug the cable in|name that stays the same/)
  })
})
