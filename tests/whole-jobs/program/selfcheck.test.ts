import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { runProgram, temporaryFolder } from '../../harness/program.js'

describe('selfcheck', () => {
  it('agrees with every published case that touches a function of ours, and names the sources', async () => {
    const { exitCode, stdout } = await runProgram(['selfcheck'])
    expect(exitCode).toBe(0)
    expect(stdout).toMatch(/NIST StRD|Statistical Reference Datasets/)
    const [, agreeing, all] = /(\d+) of (\d+) figures agree/.exec(stdout)!
    expect(agreeing).toBe(all)
    expect(Number(all)).toBeGreaterThan(100)
  })

  it('ends with exit code 1 where a case falls short', async () => {
    const path = join(temporaryFolder(), 'wrong.json')
    const cases = JSON.parse(readFileSync('fixtures/references/least-squares.json', 'utf8')) as {
      items: { expected: { coefficients: number[] }; expected_text?: unknown }[]
    }
    const item = cases.items[0]!
    item.expected.coefficients[1]! += 1e-4
    delete item.expected_text
    writeFileSync(path, JSON.stringify({ ...cases, items: [item] }))
    const { exitCode, stdout } = await runProgram(['selfcheck', '--cases', path, '--json'])
    expect(exitCode).toBe(1)
    const { cases: got } = JSON.parse(stdout) as { cases: { file: string; passed: boolean }[] }
    expect(got.some((one) => one.file.includes('wrong') && !one.passed)).toBe(true)
  })

  it('takes a folder, lists the item that it cannot read by file and field, and is not stopped by it', async () => {
    const folder = temporaryFolder()
    writeFileSync(join(folder, 'broken.json'), '{"topic":"least-squares","items":[{"id":1}]}')
    const { exitCode, stdout } = await runProgram(['selfcheck', '--cases', folder])
    expect(exitCode).toBe(0)
    expect(stdout).toMatch(/broken\.json[\s\S]*field\s+"id"/)
  })

  it('refuses a file that is not there', async () => {
    const { exitCode, stderr } = await runProgram([
      'selfcheck',
      '--cases',
      join(temporaryFolder(), 'none.json'),
    ])
    expect(exitCode).toBe(5)
    expect(stderr).toContain('none.json')
  })
})
