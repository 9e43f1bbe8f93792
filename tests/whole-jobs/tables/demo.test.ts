import { existsSync, readFileSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { describe, expect, it } from 'vitest'
import { programOn, runProgram, startProgram, temporaryFolder } from '../../harness/program.js'

interface DemoJson {
  store: string
  runs: number
  tables: { direction: string; marks: unknown[] }[]
  dial: { dial: { value: number } }
  feed: { feed: { value: number } }
  exports: [string, string]
  truth: {
    marks: { inside: boolean }[]
    marksInside: number
    curvePoints: number
    curvePointsInside: number
    worstRunErrorPercent: number
    runsAccepted: number
    runsInsideOwnInterval: number
  }
}

async function demo(): Promise<DemoJson> {
  const { exitCode, stdout, stderr } = await runProgram(['demo', '--json'])
  expect(exitCode, stderr).toBe(0)
  return JSON.parse(stdout) as DemoJson
}

describe('demo', () => {
  it('does the whole job, and what it found holds against the truth it never saw', async () => {
    const found = await demo()
    expect(found.tables.map((table) => table.direction)).toEqual(['+', '-'])
    expect(found.truth.runsAccepted).toBe(found.runs)
    expect(found.truth.worstRunErrorPercent).toBeLessThan(0.1)
    // 95 % intervals: of 20 marks fewer than 15 inside happens once in 3,000 demos (binomial).
    expect(found.truth.marksInside).toBeGreaterThanOrEqual(15)
    expect(found.truth.curvePointsInside / found.truth.curvePoints).toBeGreaterThan(0.7)
    for (const path of found.exports) expect(existsSync(path)).toBe(true)
    const schema = JSON.parse(readFileSync('calibration/schema/table-document.schema.json', 'utf8')) as object
    const document: unknown = JSON.parse(readFileSync(found.exports[1], 'utf8'))
    const validate = new Ajv2020().compile(schema)
    expect(validate(document), JSON.stringify(validate.errors)).toBe(true)
    rmSync(dirname(found.store), { recursive: true })
  })

  it('is another machine-day with another seed, and the same with the same, for a person as for a program', async () => {
    // As a person calls it: progress on stderr, a readable result on stdout.
    const { stdout, stderr } = await runProgram(['demo', '--procedure', 'quick'])
    expect(stderr).toMatch(/20 of 40 runs recorded/)
    expect(stdout).toMatch(/For 7\.\d+ in\/min set the dial to/)
    expect(stdout).toMatch(/marks and \d+ of \d+ curve points hold the truth/)
    const store = /Store: (.*)/.exec(stdout)![1]!
    // Of the others only some runs are looked at: they are ended before they fit.
    const startedWith = async (...args: string[]) => {
      const path = join(temporaryFolder(), 'store.db')
      const demo = startProgram(['--store', path, 'demo', '--procedure', 'quick', '--json', ...args])
      await demo.said(/10 of 40 runs recorded/)
      demo.signal('SIGKILL')
      await demo.ended
      return path
    }
    const feedsOf = async (path: string) => {
      const { runs } = await programOn(path).json<{ runs: { feed: { value: number } }[] }>('runs')
      return runs.slice(0, 10).map(({ feed }) => feed.value)
    }
    const feeds = await feedsOf(store)
    expect(feeds).toHaveLength(10)
    expect(await feedsOf(await startedWith())).toEqual(feeds)
    const otherFeeds = await feedsOf(await startedWith('--seed', '2'))
    expect(otherFeeds).toHaveLength(feeds.length)
    for (const [index, feed] of feeds.entries()) expect(otherFeeds[index]).not.toBe(feed)
    rmSync(dirname(store), { recursive: true })
  })
})
