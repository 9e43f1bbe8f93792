import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Command } from 'commander'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { buildProgram } from '../../src/cli/program.js'
import { whatNext } from '../../src/cli/what-next.js'
import { PRINTED_WIDTH } from '../../src/text/index.js'

const folder = mkdtempSync(join(tmpdir(), 'tablepace-width-'))
const store = join(folder, 'store.db')
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** What one command prints on stdout, run in this process. */
async function printed(...args: string[]): Promise<string> {
  let text = ''
  const out = vi.spyOn(process.stdout, 'write').mockImplementation((part) => {
    text += String(part)
    return true
  })
  const err = vi.spyOn(process.stderr, 'write').mockImplementation(() => true)
  try {
    if (args.length === 0) await whatNext({ store })
    else await buildProgram().parseAsync(['--store', store, ...args], { from: 'user' })
  } finally {
    process.exitCode = 0
    out.mockRestore()
    err.mockRestore()
  }
  return text
}

/** Lines that are too long, but for a single thing that cannot be broken: a command to paste, a path, an address. */
function tooLong(text: string): string[] {
  return text
    .split('\n')
    .filter((line) => line.length > PRINTED_WIDTH && !/^\s*(?:tablepace .*|\S+)$/.test(line))
}

/** A line that ends in a number whose unit begins the next. */
function torn(text: string): string[] {
  return [...text.matchAll(/(?:^|\s)[\d.]+\n\s+(?:in\/min|mm\/min|in|mm|%|s|rpm|…)(?=[\s,.;)]|$).*/gm)].map(
    ([found]) => found,
  )
}

beforeAll(async () => {
  await printed(
    'machine',
    'add',
    'Bench mill by the window',
    '--units',
    'in',
    '--spindle',
    '90,150,240,390,620,1000',
  )
  await printed('axis', 'add', 'X', '--travel', '21in', '--dial', '0..10', '--marks', '2,4,6,8,10')
  await printed('traverse', '--from', 'fixtures/tour/stopwatch-sheet.csv')
  await printed('traverse', '--dial', '4', '--distance', '40in', '--time', '500s', '--direction', '+').catch(
    () => '',
  )
  await printed('fit', '--reason', 'gibs adjusted and the screw cleaned')
  await printed(
    'recheck',
    '--within',
    '4',
    '--reason',
    'gibs adjusted',
    '--from',
    'fixtures/tour/recheck-sheet.csv',
  )
})

const CUT = [
  '--diameter',
  '0.5in',
  '--teeth',
  '4',
  '--material',
  'low-carbon steel',
  '--cutter-material',
  'hss',
]

describe('what a command prints keeps within 80 columns', () => {
  it.each([
    [],
    ['machine', 'list'],
    ['machine', 'show', 'Bench mill by the window'],
    ['axis', 'list'],
    ['axis', 'show', 'X'],
    ['runs'],
    ['table'],
    ['tables'],
    ['dial', '7in/min'],
    ['dial', '0.01in/rev', '--rpm', '620'],
    ['feed', '3½'],
    ['explain', '3.5'],
    ['cut', ...CUT],
    ['materials'],
    ['selfcheck'],
    ['compare', '--by', 'direction'],
    ['recheck', '--within', '4', '--reason', 'belt', '--plan'],
    ['history'],
    ['plot', 'curve'],
    ['advise', '--feed', '7in/min', '--within', '2', '--stopwatch'],
    ['readout', 'profiles'],
    ['readout', 'ports'],
    ['doctor'],
  ])('%s %s %s', async (...args) => {
    const text = await printed(...args)
    expect(text).not.toBe('')
    expect(tooLong(text)).toEqual([])
    expect(torn(text)).toEqual([])
  })

  it('draws the band of the next setting in a plot of the terminal, and says what it is', async () => {
    const plot = await printed('plot', 'curve', '--direction', '+')
    expect(plot).toMatch(/[·:] next setting, 95 %/)
    expect(plot.match(/[·:]/g)!.length).toBeGreaterThan(20)
  })

  it('and shows the same short id of a run everywhere, by which it can be named', async () => {
    const listed = await printed('runs')
    const [, id] = /^(\w{6}) +2 /m.exec(listed)!
    expect(await printed('explain', '2')).toContain(id)
    expect(await printed('run', 'show', id!)).toContain(id)
    const { runs } = JSON.parse(await printed('run', 'show', id!.toLowerCase(), '--json'))
    expect(runs[0].id.endsWith(id)).toBe(true)
    await expect(printed('run', 'show', '01')).rejects.toThrow(/no run/)
    await expect(printed('run', 'show', runs[0].id.slice(0, 5))).rejects.toThrow(/begins or ends with/)
  })
})

describe('the help keeps within 80 columns', () => {
  const all = (command: Command): Command[] => [command, ...command.commands.flatMap(all)]
  it.each(all(buildProgram()).map((command) => [command.name(), command] as const))('%s', (_, command) => {
    let text = ''
    const out = vi.spyOn(process.stdout, 'write').mockImplementation((part) => {
      text += String(part)
      return true
    })
    command.outputHelp()
    out.mockRestore()
    expect(text).toContain('Usage')
    expect(tooLong(text)).toEqual([])
  })
})
