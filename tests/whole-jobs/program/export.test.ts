import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { fittedByStopwatch } from '../../harness/stopwatch-table.js'
import { elementsOf, readXml, textOf } from '../../pictures/read-xml.js'

describe('export --format FORMAT --to PATH', () => {
  it('knows the kind of file from its name where no format is given', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    for (const [name, format] of [
      ['feeds.csv', 'csv'],
      ['feeds.json', 'json'],
      ['feeds.XLSX', 'xlsx'],
      ['card.html', 'card'],
      ['package', 'datapackage'],
    ] as const) {
      const said = await tablepace.json<{ format: string }>('export', '--to', join(folder, name))
      expect(said.format).toBe(format)
    }
    for (const to of [join(folder, 'feeds.xyz'), '-']) {
      const refused = await tablepace.run('export', '--to', to)
      expect(refused.exitCode).toBe(2)
      expect(refused.stderr).toContain('Give --format with one of: csv, json,')
    }
  })

  it('writes every format there is', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const written = async (format: string, name: string) => {
      const to = join(folder, name)
      const said = await tablepace.json<{ files: string[]; tables: number }>(
        'export',
        '--format',
        format,
        '--to',
        to,
      )
      expect(said.tables).toBe(2)
      for (const file of said.files) expect(existsSync(file)).toBe(true)
      return to
    }
    expect(readFileSync(await written('csv', 'feeds.csv'), 'utf8')).toMatch(/^machine,axis,direction/)
    const document = JSON.parse(readFileSync(await written('json', 'feeds.json'), 'utf8'))
    expect(document.axisDetails).toMatchObject({
      travel: 20,
      dial: [0, 10],
      lengthUnit: 'in',
      stepped: false,
    })
    expect(readFileSync(await written('markdown', 'feeds.md'), 'utf8')).toMatch(
      /^# Bench X: feed of each dial setting/,
    )
    // Office Open XML is a ZIP file, and those begin with PK (APPNOTE.TXT 4.3.7).
    expect(
      readFileSync(await written('xlsx', 'feeds.xlsx'))
        .subarray(0, 2)
        .toString(),
    ).toBe('PK')
    const card = readXml(readFileSync(await written('card', 'card.svg'), 'utf8'))
    expect(elementsOf(card, 'title').map(textOf)).toEqual(['Bench · X: where to set the dial, in/min'])
    expect(readFileSync(await written('card', 'card.html'), 'utf8')).toMatch(/^<!doctype html>/)
    expect(readdirSync(await written('datapackage', 'package')).sort()).toEqual([
      'curve.csv',
      'datapackage.json',
      'marks.csv',
      'runs.csv',
    ])
    const descriptor = JSON.parse(
      readFileSync(await written('datapackage', 'beside/datapackage.json'), 'utf8'),
    )
    expect(descriptor.resources.map(({ path }: { path: string }) => path)).toEqual([
      'marks.csv',
      'curve.csv',
      'runs.csv',
    ])
    expect(
      readFileSync(join(folder, 'beside', 'runs.csv'), 'utf8')
        .trim()
        .split('\n'),
    ).toHaveLength(21)
  })

  it('says in a sentence what cannot be written', async () => {
    const { folder, tablepace } = await fittedByStopwatch()
    const refused = async (...args: string[]) => {
      const { exitCode, stderr } = await tablepace.run('--json', 'export', ...args)
      return [exitCode, JSON.parse(stderr).error.code]
    }
    expect(await refused('--format', 'card', '--to', join(folder, 'card.pdf'))).toEqual([2, 'card-format'])
    expect(await refused('--format', 'datapackage', '--to', '-')).toEqual([2, 'package-to-output'])
    writeFileSync(join(folder, 'file'), '')
    expect(await refused('--format', 'datapackage', '--to', join(folder, 'file', 'deep'))).toEqual([
      5,
      'file-not-written',
    ])
    expect(readFileSync(join(folder, 'file'), 'utf8')).toBe('')
  })
})
