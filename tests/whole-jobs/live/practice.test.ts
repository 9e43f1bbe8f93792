import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { describe, expect, it } from 'vitest'
import { type PracticeRound, pressErrors } from '../../../src/regression/index.js'
import { openTerminal, type TerminalSession } from '../../harness/live/terminal.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface Person {
  person: string
  rounds: number
  latenessS: number
  biasS: number
  spreadS: number
  pressSpreadS: number
  degreesOfFreedom: number
}

interface Runs {
  runs: { id: string; durationS: number; feed: { standardUncertainty: number; value: number } }[]
}

async function shop() {
  const store = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(store)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  return { store, tablepace }
}

/** Longer than what is drawn for one number, characters; all that was ever shown takes too long to look through. */
const DRAWN_ONCE = 500

/** The number on the screen now. */
function numberOn(terminal: TerminalSession): number {
  const found = [
    ...terminal
      .screen()
      .slice(-DRAWN_ONCE)
      .matchAll(/(-?\d+\.\d{3}) {5}SPACE at the marks/g),
  ].at(-1)
  return Number(found?.[1] ?? Number.NaN)
}

/** Presses the space bar once the number has gone past the mark. */
async function pressPast(terminal: TerminalSession, mark: number, rising: boolean): Promise<void> {
  for (;;) {
    const number = numberOn(terminal)
    if (rising ? number >= mark : number <= mark) break
    await sleep(5)
  }
  terminal.type(' ')
}

const ENTRY = ['traverse', '--dial', '4', '--distance', '6in', '--time', '20s', '--direction', '+'] as const

describe('practice', () => {
  it('measures a person at a moving number and uses it in the uncertainty of their timings', async () => {
    const { store, tablepace } = await shop()
    const before = await tablepace.json<Runs>(...ENTRY)
    const terminal = openTerminal(['--store', store, 'practice', '--person', 'Ann', '--rounds', '3'])
    const told: PracticeRound[] = []
    while (told.length < 3) {
      const text = await terminal.waitFor(/Round \d of 3: press SPACE at [\d.]+ and at [\d.]+\./)
      const [start, stop] = [...text.matchAll(/at (\d+\.\d{3})/g)].map((match) => Number(match[1]))
      await terminal.waitFor(/SPACE at the marks/)
      await pressPast(terminal, start!, stop! > start!)
      await pressPast(terminal, stop!, stop! > start!)
      // A machine that is held up for a second between sight and press has to do it once more, like a person.
      const outcome = await terminal.waitFor(
        /start \d\.\d{3} s (?:late|early), stop \d\.\d{3} s (?:late|early)|once more/,
      )
      const [startLateS, stopLateS] = [...outcome.matchAll(/(\d\.\d{3}) s (late|early)/g)].map(
        ([, size, sense]) => (sense === 'late' ? 1 : -1) * Number(size),
      )
      if (startLateS !== undefined && stopLateS !== undefined) told.push({ startLateS, stopLateS })
    }
    expect(await terminal.ended).toBe(0)

    const { people } = await tablepace.json<{ people: Person[] }>('practice', '--show')
    expect(people).toHaveLength(1)
    const [ann] = people
    expect([ann!.person, ann!.rounds, ann!.degreesOfFreedom]).toEqual(['Ann', 3, 4])
    // A program that presses on what it sees is never early; how late it is is what the screen told each time.
    for (const { startLateS, stopLateS } of told)
      expect(Math.min(startLateS, stopLateS)).toBeGreaterThan(-0.01)
    const summed = pressErrors(told)
    expect(ann!.latenessS).toBeCloseTo(summed.latenessS, 2)
    expect(ann!.spreadS).toBeCloseTo(summed.spreadS, 2)

    const after = await tablepace.json<Runs>(...ENTRY, '--person', 'ann')
    // u(T) = √(2 s² + (0.05 s)²/3), u(v) = v u(T)/T.
    const u = (spreadS: number) => (18 / 20) * Math.sqrt(2 * spreadS ** 2 + 0.05 ** 2 / 3)
    expect(before.runs[0]!.feed.standardUncertainty).toBeCloseTo(u(0.07), 9)
    expect(after.runs[0]!.feed.standardUncertainty).toBeCloseTo(u(ann!.pressSpreadS), 9)
    // Judged again from the raw entries, they come out the same.
    const again = await tablepace.run('fit', '--from-raw')
    expect(again.stderr).toMatch(/Judged 2 runs again .*; 0 came out differently/)
    // Three movements are watched as they go by.
  })

  it('names the published value that stands in until then', async () => {
    const { tablepace } = await shop()
    const nobody = await tablepace.run(...ENTRY)
    expect(nobody.stderr).toMatch(/assumed to be ±0\.07 s/)
    const named = await tablepace.run(...ENTRY, '--person', 'Ben')
    expect(named.stderr).toMatch(/Measure Ben's own with `tablepace practice --person Ben`/)
    const { runs } = await tablepace.json<{ runs: { tags: Record<string, string> }[] }>('runs')
    expect(runs.map((run) => run.tags)).toEqual([{}, { person: 'Ben' }])
    const none = await tablepace.run('practice', '--show', '--json')
    expect(none.exitCode).toBe(1)
    expect(none.stderr).toMatch(/"no-practice".*±0\.07 s .*American Journal of Physics 87 \(2019\) 110/)
  })

  it('stores nothing when left midway, and refuses to start without a person or a terminal', async () => {
    const { store, tablepace } = await shop()
    const terminal = openTerminal(['--store', store, 'practice', '--person', 'Ann'])
    await terminal.waitFor(/Round 1 of 10/)
    await terminal.waitFor(/SPACE at the marks/)
    terminal.type('q')
    expect(await terminal.ended).toBe(2)
    expect((await tablepace.run('practice', '--show')).exitCode).toBe(1)
    for (const [args, code] of [
      [['practice'], 'person-missing'],
      [['practice', '--person', 'Ann', '--rounds', '2'], 'bad-rounds'],
      [['practice', '--person', 'Ann'], 'needs-terminal'],
    ] as const) {
      const refused = await tablepace.run(...args, '--json')
      expect([refused.exitCode, refused.stdout]).toEqual([2, ''])
      expect(refused.stderr).toContain(`"${code}"`)
    }
  })

  it('tells a press that is no press at the mark, and lets it be made again', async () => {
    const { store } = await shop()
    const terminal = openTerminal(['--store', store, 'practice', '--person', 'Ann', '--rounds', '3'])
    await terminal.waitFor(/SPACE at the marks/)
    terminal.type(' ')
    await terminal.waitFor(/once more/)
    await terminal.waitFor(/Round 1 of 3/)
    await terminal.waitFor(/SPACE at the marks/)
    terminal.type('q')
    expect(await terminal.ended).toBe(2)
  })
})
