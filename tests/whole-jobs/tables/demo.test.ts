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

async function demo(...args: string[]): Promise<DemoJson> {
  const { exitCode, stdout, stderr } = await runProgram(['demo', '--json', ...args])
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
    const first = await demo('--procedure', 'quick')
    // Of the other only some runs are looked at: it is ended before it fits.
    const otherStore = join(temporaryFolder(), 'store.db')
    const other = startProgram(['--store', otherStore, 'demo', '--procedure', 'quick', '--seed', '2'])
    await other.said(/10 of 40 runs recorded/)
    other.signal('SIGKILL')
    await other.ended
    const feedsOf = async (path: string) => {
      const { runs } = await programOn(path).json<{ runs: { feed: { value: number } }[] }>('runs')
      return runs.slice(0, 5).map(({ feed }) => feed.value)
    }
    const [feeds, otherFeeds] = [await feedsOf(first.store), await feedsOf(otherStore)]
    expect(otherFeeds).toHaveLength(feeds.length)
    for (const [index, feed] of feeds.entries()) expect(otherFeeds[index]).not.toBe(feed)
    // The second time as a person calls it: progress on stderr, a readable result on stdout.
    const { stdout, stderr } = await runProgram(['demo', '--procedure', 'quick'])
    expect(stderr).toMatch(/20 of 40 runs recorded/)
    expect(stdout).toMatch(/For 7\.\d+ in\/min set the dial to/)
    expect(stdout).toMatch(/marks and \d+ of \d+ curve points hold the truth/)
    const store = /Store: (.*)/.exec(stdout)![1]!
    const marksOf = async (path: string) => {
      const { marks } = await programOn(path).json<{ marks: object[] }>('table', '--direction', '+')
      return marks
    }
    expect(await marksOf(store)).toEqual(await marksOf(first.store))
    for (const path of [first.store, store]) rmSync(dirname(path), { recursive: true })
  })
})
