import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'

const NAME = '=Old <mill> & "Co"'

async function shop() {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', NAME, '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10', '--marks', '2,8')
  return { folder, tablepace, csv: join(folder, 'sheet.csv') }
}

describe('sheet', () => {
  it('goes blank to the machine and comes back filled in: every row a run', async () => {
    const { tablepace, csv } = await shop()
    const written = await tablepace.json<{ rows: number; format: string }>(
      ...(['sheet', '--travel', '6in', '--to', csv] as const),
    )
    expect(written).toMatchObject({ rows: 12, format: 'csv' })
    const blank = readFileSync(csv, 'utf8')
    const lines = blank.split('\n')
    expect(lines[0]).toBe('dial,direction,distance,time,note')
    // The cautions stand above the traverses, as notes that are not read as traverses.
    const cautions = lines.filter((line) => line.startsWith(',,,,'))
    expect(lines.slice(1, 1 + cautions.length)).toEqual(cautions)
    expect(cautions.join('\n')).toMatch(/Before you start: Spindle off[\s\S]*manual/)
    expect(lines.slice(1 + cautions.length).slice(0, 2)).toEqual(['2,plus,6in,,', '2,minus,6in,,'])
    // No cell that a spreadsheet would take for a formula.
    expect(blank).not.toMatch(/(?:^|,)[=+@-]/m)

    writeFileSync(csv, blank.replace(/^(.*in),,$/gm, '$1,61.5s,by hand'))
    const { runs } = await tablepace.json<{
      runs: { dial: number; direction: string; feed: { value: number }; source: string }[]
    }>('traverse', '--from', csv)
    expect(runs).toHaveLength(12)
    expect(runs.slice(0, 4).map(({ dial, direction }) => [dial, direction])).toEqual([
      [2, '+'],
      [2, '-'],
      [8, '+'],
      [8, '-'],
    ])
    for (const run of runs) {
      expect(run.source).toBe('stopwatch')
      expect(run.feed.value).toBeCloseTo((6 * 60) / 61.5, 9)
    }
  })

  it('may come back half done: rows without a time are left out, and that is said', async () => {
    const { tablepace, csv } = await shop()
    await tablepace.json('sheet', '--travel', '6in', '--to', csv)
    const blank = readFileSync(csv, 'utf8')
    writeFileSync(csv, blank.replace('2,minus,6in,,', '2,minus,6in,58,'))
    const some = await tablepace.run('traverse', '--from', csv)
    expect(some.exitCode).toBe(0)
    expect(some.stderr).toMatch(/sheet\.csv: 11 rows have no time yet and are left out\./)
    writeFileSync(csv, blank)
    const none = await tablepace.run('traverse', '--from', csv, '--json')
    expect(none.exitCode).toBe(1)
    expect(none.stderr).toMatch(/has 12 rows, and none has a time yet/)
    // A row that breaks off midway is not taken for one that is still to be done.
    writeFileSync(csv, 'dial,direction,distance,time\n2,+,6in,58\n2,+,6in\n')
    expect((await tablepace.run('traverse', '--from', csv)).exitCode).toBe(1)
    // Nor is a row with a time and no distance.
    writeFileSync(csv, 'dial,direction,distance,time\n2,+,,58\n')
    expect((await tablepace.run('traverse', '--from', csv)).stderr).toMatch(/row 2, distance/)
  })

  it('asks whether its columns are swapped, and says that a dial given beside it is not used', async () => {
    const { tablepace, csv } = await shop()
    const rows = ['2,+,24.83,1', '2,-,25.62,1', '8,+,31.97,8', '8,-,32.24,8']
    writeFileSync(csv, `dial,direction,distance,time\n${rows.join('\n')}\n`)
    const read = (...more: string[]) => tablepace.run('traverse', '--no-save', '--from', csv, ...more)
    expect((await read()).stderr).toMatch(/every time is a whole number and no distance is/)
    writeFileSync(csv, `dial,direction,time,distance\n${rows.join('\n')}\n`)
    expect((await read()).stderr).not.toMatch(/whole number|not used/)
    expect((await read('--dial', '2')).stderr).toMatch(/names the dial in each row/)
  })

  it('suggests travels once feeds are known', async () => {
    const { folder, tablepace } = await shop()
    const whole = async () => (await tablepace.json<{ content: string }>('sheet', '--to', '-')).content
    /** The rows to fill in, without the notes above them. */
    const sheet = async () => (await whole()).split('\n').filter((line) => !line.startsWith(',,,,'))
    expect((await tablepace.run('sheet')).stdout).toBe(await whole())
    expect((await sheet())[1]).toBe('2,plus,,,')
    writeFileSync(join(folder, 'one.csv'), 'dial,direction,distance,time\n2,+,3in,60\n')
    await tablepace.json('traverse', '--from', join(folder, 'one.csv'))
    // 3 in/min for half a minute.
    expect((await sheet())[1]).toBe('2,plus,1.5in,,')
    expect((await sheet())[3]).toBe('8,plus,,,')
    writeFileSync(
      join(folder, 'more.csv'),
      'dial,direction,distance,time\n2,+,3in,60\n8,+,12in,61\n8,+,12in,61\n',
    )
    await tablepace.json('traverse', '--from', join(folder, 'more.csv'))
    await tablepace.json('fit')
    expect((await sheet())[3]).toBe('8,plus,6in,,')
  })

  it('prints as a page that carries the cautions and nothing from outside', async () => {
    const { folder, tablepace } = await shop()
    const page = join(folder, 'sheet.html')
    await tablepace.json('sheet', '--travel', '6in', '--to', page)
    const html = readFileSync(page, 'utf8')
    expect(html).toContain('<h1>=Old &lt;mill&gt; &amp; &quot;Co&quot; X: run sheet</h1>')
    expect(html).not.toMatch(/<script|https?:|<mill>/)
    expect(html.match(/<td class="time"><\/td>/g)).toHaveLength(12)
    expect(html).toMatch(/Pass 3 of 3/)
    expect(html).toMatch(/Spindle off/)
    expect(html).toMatch(/Your machine.*manual/)
    expect(html).toMatch(/Travel 16 in at most/)
  })

  it('refuses what makes no sheet', async () => {
    const { folder, tablepace } = await shop()
    for (const [args, code] of [
      [['--to', join(folder, 'sheet.doc')], 'sheet-format'],
      [['--to', '-', '--travel', '21in'], 'bad-travel'],
      [['--to', '-', '--procedure', 'none-such'], 'unknown-procedure'],
    ] as const) {
      const refused = await tablepace.run('sheet', ...args, '--json')
      expect([refused.exitCode, refused.stdout]).toEqual([2, ''])
      expect(refused.stderr).toContain(`"${code}"`)
    }
  })
})
