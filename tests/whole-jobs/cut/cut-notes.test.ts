import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, runProgram, temporaryFolder } from '../../harness/program.js'

interface Cut {
  cuttingSpeed: { wanted: { value: number } }
  spindle: { wantedRpm: number; setRpm: number | null }
  chipLoad: { wanted: { value: number } }
  warnings: string[]
  sources: string[]
}

const CUTTER = [
  ...['--diameter', '0.5in', '--teeth', '4', '--material', 'mild steel'],
  ...['--cutter-material', 'hss'],
]

async function shop() {
  const path = join(temporaryFolder(), 'store.db')
  const tablepace = programOn(path)
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in', '--spindle', '110,190,310,480,620,980')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  return { path, json: tablepace.json }
}

describe('cut-note', () => {
  it('keeps a good cut, which the next like it starts from, with its date', async () => {
    const { json } = await shop()
    const before = await json<Cut>('cut', ...CUTTER)
    const { cutNote } = await json<{ cutNote: { at: string; outcome: string; finishUm: number } }>(
      ...['cut-note', 'good', ...CUTTER, '--rpm', '480', '--feed', '4.8in/min', '--finish', '63uin'],
    )
    expect(cutNote).toMatchObject({ outcome: 'good', kind: 'end mill', material: 'low-carbon steel' })
    expect(cutNote.finishUm).toBeCloseTo(1.6002, 9)
    const after = await json<Cut>('cut', ...CUTTER)
    // 480 rpm on half an inch is 62.8 ft/min; 4.8/(480 × 4) in a tooth.
    expect(after.cuttingSpeed.wanted.value).toBeCloseTo((480 * Math.PI * 0.5) / 12, 9)
    expect(after.spindle.setRpm).toBe(480)
    expect(after.chipLoad.wanted.value).toBeCloseTo(0.0025, 9)
    const day = cutNote.at.slice(0, 10)
    expect(after.sources).toContain(`cutting speed: your own note of a good cut on ${day}`)
    // Another cutter, another material and another pass still start from the published values.
    const others = [
      ['--diameter', '0.75in', '--teeth', '4', '--material', 'mild steel', '--cutter-material', 'hss'],
      ['--diameter', '0.5in', '--teeth', '4', '--material', 'brass', '--cutter-material', 'hss'],
      [...CUTTER, '--pass', 'finishing'],
    ]
    for (const args of others) {
      expect((await json<Cut>('cut', ...args)).sources.join(' ')).not.toContain('your own note')
    }
    expect(before.sources.join(' ')).not.toContain('your own note')
  })

  it('tells what went wrong, and starts from nothing that did', async () => {
    const { path, json } = await shop()
    const noted = ['--rpm', '620', '--feed', '6in/min', '--note', 'long stick-out']
    await json('cut-note', 'chatter', ...CUTTER, ...noted)
    const cut = await json<Cut>('cut', ...CUTTER)
    expect(cut.warnings.join(' ')).toMatch(
      /You noted about a cut like this: .*chatter at 620 rpm.*long stick-out/,
    )
    expect(cut.sources.join(' ')).not.toContain('your own note')
    const { exitCode, stdout } = await runProgram(['--store', path, 'cut-note', 'broke', ...CUTTER, ...noted])
    expect(exitCode).toBe(0)
    expect(stdout).toMatch(/^Noted: .*the cutter broke at 620 rpm and 6\.00 in\/min/)
  })

  it('refuses what it cannot keep, each in one sentence', async () => {
    const { path } = await shop()
    for (const [args, code] of [
      [['good', ...CUTTER, '--rpm', '0', '--feed', '5'], 'bad-cut'],
      [['good', ...CUTTER, '--rpm', '480', '--feed', '5', '--cutter', 'spoon'], 'unknown-cutter'],
      [['good', ...CUTTER, '--rpm', '480', '--feed', '5', '--finish', '1.6ft'], 'bad-unit'],
      [['fine', ...CUTTER, '--rpm', '480', '--feed', '5'], 'bad-usage'],
    ] as const) {
      const { exitCode, stderr } = await runProgram(['--store', path, 'cut-note', ...args, '--json'])
      expect([exitCode, (JSON.parse(stderr) as { error: { code: string } }).error.code]).toEqual([2, code])
    }
  })
})
