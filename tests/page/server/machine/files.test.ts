import { readdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { fitTables, recordStopwatchTakes } from '../../../../src/jobs/index.js'
import type { AxisAnswer } from '../../../../src/page/api.js'
import type {
  DoctorAnswer,
  ImportAnswer,
  ReadFileAnswer,
  RestoreAnswer,
} from '../../../../src/page/machine-api.js'
import { openStore } from '../../../../src/store/index.js'
import { servedStore } from '../../../harness/browser.js'
import { letInBy, pageApi } from '../../../harness/page-api.js'
import { programOn, temporaryFolder } from '../../../harness/program.js'
import { rawRequest } from '../../../harness/raw-request.js'

/** A served store whose axis has a table of two marks. */
async function fitted() {
  const made = await servedStore([2, 4])
  const { store, axisId } = made
  const startedAt = new Date().toISOString()
  const takes = [2, 4].flatMap((dial) =>
    [0.999, 1, 1.001].map((factor) => ({
      ...{ dial, origin: 'test', note: null },
      entry: { distanceMm: 40 * dial, durationS: 60 * factor, direction: 1 as const, marks: null },
    })),
  )
  const axis = store.axes.byId(axisId)
  recordStopwatchTakes(store, axis, takes, { dialReset: true, tags: {}, note: null, startedAt })
  fitTables(store, axis, { filter: {}, reason: null, fittedAt: startedAt })
  return { ...made, api: pageApi(made.served) }
}

const leftBehind = (storePath: string): string[] =>
  readdirSync(dirname(storePath)).filter((name) => name.startsWith('.tablepace-'))

describe('files of the page', () => {
  it('hands tables out in every format, and takes them in where they are not yet', async () => {
    const { api, axisId, store } = await fitted()
    const kept = new Map<string, Buffer>()
    for (const [format, ending, begin] of [
      ['csv', 'csv', /dial/],
      ['json', 'json', /^\{/],
      ['datapackage', 'zip', /^PK/],
      ['card-html', 'html', /^<!doctype html>/i],
      ['card-svg', 'svg', /<svg/],
      ['xlsx', 'xlsx', /^PK/],
      ['markdown', 'md', /\|/],
    ] as const) {
      const { status, headers, body, bytes } = await api.download(`export?id=${axisId}&format=${format}`)
      expect(status, format).toBe(200)
      expect(headers['content-disposition']).toBe(`attachment; filename="Bench-1-X.${ending}"`)
      expect(body.slice(0, 2000), format).toMatch(begin)
      kept.set(format, bytes)
    }
    expect((await api.download(`export?id=${axisId}&format=../../x`)).status).toBe(400)

    const other = await servedStore([2, 4])
    const otherApi = pageApi(other.served)
    other.store.machines.change(
      other.store.machines.byName('Bench <1>').id,
      { name: 'Other' },
      '2026-01-01T00:00:00.000Z',
    )
    const taken = await otherApi.upload<ImportAnswer>('import', 'bench tables.json', kept.get('json')!)
    expect(taken.sentences).toEqual(['Bench <1> X, direction +: brought in as version 1; it is in force'])
    const again = await otherApi.upload<ImportAnswer>('import', 'x.zip', kept.get('datapackage')!)
    expect(again.sentences).toEqual(['Bench <1> X, direction +: already here as version 1; it is in force'])
    const axis = other.store.axes.resolve({ machine: 'Bench <1>', axis: 'X' }).axis
    const [table] = other.store.tables.list(axis.id)
    expect(table).toMatchObject({
      hash: store.tables.inForce(axisId, 1)!.hash,
      reason: 'brought in from bench tables.json',
    })
    expect(leftBehind(other.store.path)).toEqual([])

    // The command line writes and reads the same zip file.
    const folder = temporaryFolder()
    const zip = join(folder, 'bench.zip')
    await programOn(store.path).json('export', '--to', zip)
    const fresh = programOn(join(folder, 'fresh.db'))
    expect(await fresh.json('import', zip)).toMatchObject({ kind: 'tables', tables: [{ added: true }] })
  })

  it('refuses what it cannot read, calls the file by its name, and keeps nothing of it', async () => {
    const { api, store, served } = await fitted()
    for (const [path, name, content, message] of [
      ['import', 'notes.json', '{"a":1}', /notes\.json/],
      ['import', '../../etc/passwd', 'x', /file/],
      ['import', 'broken.zip', 'PK\x03\x04 and nothing more', /broken\.zip is no zip file that can be read/],
      ['import', 'old.db', `SQLite format 3\0${'x'.repeat(2000)}`, /old\.db/],
      ['restore', 'photo.db', 'no store at all', /photo\.db is not a tablepace store.*Choose another file/],
    ] as const) {
      const error = String(await api.upload(path, name, Buffer.from(content, 'latin1')).catch(String))
      expect(error, name).toMatch(message)
      expect(error, name).not.toMatch(
        /\.tablepace-|500|unforeseen|--[a-z]|tablepace (?:import|export|restore|backup|doctor)\b/,
      )
    }
    expect(store.machines.list()).toHaveLength(1)
    expect(leftBehind(store.path)).toEqual([])
    // A page elsewhere can send neither form nor document to where files are taken.
    const { origin } = new URL(served.url)
    for (const type of ['application/json', 'text/plain', 'multipart/form-data; boundary=x']) {
      const headers = { ...letInBy(served.url), Origin: origin, 'Content-Type': type }
      const sent = { method: 'POST', path: '/api/restore?name=a', headers, body: 'x' }
      expect((await rawRequest(served.url, sent)).status).toBe(415)
    }
    const tooMuch = {
      ...{ method: 'POST', path: '/api/restore?name=a' },
      headers: {
        ...letInBy(served.url),
        ...{ Origin: origin, 'Content-Type': 'application/octet-stream', 'Content-Length': String(2 ** 31) },
      },
    }
    expect((await rawRequest(served.url, tooMuch)).status).toBe(413)
  })

  it('backs the store up to a file, and puts the backup in its place again', async () => {
    const { api, store, axisId } = await fitted()
    const { bytes, headers } = await api.download('backup')
    expect(headers['content-disposition']).toMatch(/filename="tablepace-\d{4}-\d\d-\d\d\.db"/)
    const copy = join(temporaryFolder(), 'copy.db')
    writeFileSync(copy, bytes)
    const read = openStore(copy, { mode: 'read' })
    expect(read.tables.list(axisId)).toHaveLength(1)
    read.close()

    for (const run of store.runs.list(axisId)) store.runs.drop(run.id, 'by mistake', new Date().toISOString())
    const { replaced } = await api.upload<RestoreAnswer>('restore', 'copy.db', bytes)
    expect(replaced).toMatch(/\.replaced-/)
    expect(store.runs.list(axisId).filter((run) => run.droppedAt !== null)).toEqual([])
    const before = openStore(replaced!, { mode: 'read' })
    expect(before.runs.list(axisId).every((run) => run.droppedAt !== null)).toBe(true)
    before.close()
    const { findings, brokenOff } = await api.ask<DoctorAnswer>('doctor')
    expect(findings.filter(({ check }) => check === 'store')).toMatchObject([{ state: 'ok', wayOut: null }])
    expect(brokenOff).toEqual([])
    expect(leftBehind(store.path)).toEqual([])
  })

  it('reads runs from a stopwatch sheet and from a recorded readout', async () => {
    const { store, axisId, served } = await servedStore([2, 4])
    const { upload, ask } = pageApi(served)
    const sheet = 'dial,direction,distance,time\n2,+,4,60.1\n4,-,8,59.9\n4,+,8,\n'
    const read = await upload<ReadFileAnswer>(`recordings?id=${axisId}`, 'sheet.csv', Buffer.from(sheet))
    expect(read.notes).toEqual([expect.stringMatching(/^sheet\.csv: 1 row has no time yet/)])
    expect(read.takes.flatMap(({ runs }) => runs.map((run) => [run.dial, run.direction]))).toEqual([
      [2, 1],
      [4, -1],
    ])
    expect(store.recordings.list(axisId).map(({ origin }) => origin)).toEqual(['sheet.csv', 'sheet.csv'])
    const lines = Array.from({ length: 300 }, (_, i) => {
      const inches = 5 + (8 / 60) * Math.min(Math.max(i / 10 - 5, 0), 20)
      return JSON.stringify({ t: i / 10, line: inches.toFixed(4) })
    }).join('\n')
    const recorded = await upload<ReadFileAnswer>(
      `recordings?id=${axisId}&dial=4`,
      'dial-4.jsonl',
      Buffer.from(lines),
    )
    expect(recorded.takes[0]?.runs[0]?.feedMmPerMin).toBeCloseTo(8 * 25.4, 0)
    expect((await ask<AxisAnswer>(`axis?id=${axisId}`)).runs).toHaveLength(3)
    await expect(
      upload(`recordings?id=${axisId}&profile=..%2Fx`, 'a.csv', Buffer.from(sheet)),
    ).rejects.toThrow(/bad-request/)
  })
})
