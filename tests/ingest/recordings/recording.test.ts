import { chmod, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { TablepaceError } from '../../../src/errors/index.js'
import {
  type IngestOptions,
  ingestLines,
  type LineRecording,
  openRecording,
  type StampedLine,
  spreadsheetNumberFormat,
} from '../../../src/ingest/index.js'
import { mmPer } from '../../../src/units/index.js'

let folder = ''
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'recording-'))
})
afterAll(async () => {
  await rm(folder, { recursive: true })
})

const OPTIONS: IngestOptions = { axis: 'x', bareUnit: 'in' }

async function file(name: string, content: string | Buffer): Promise<string> {
  const path = join(folder, name)
  await writeFile(path, content)
  return path
}

async function lines(path: string): Promise<LineRecording> {
  const opened = await openRecording(path, 'in')
  if (opened.kind !== 'lines') throw new Error('not a recording of lines')
  return opened
}

/** All lines of a recording, and the samples that they come to. */
async function readLines(recording: LineRecording, options: IngestOptions) {
  const raw: StampedLine[] = []
  for await (const line of recording.lines) raw.push(line)
  const mm = mmPer(recording.unit ?? options.bareUnit)
  const format =
    recording.numbers === 'spreadsheet' ? spreadsheetNumberFormat(options.countLengthMm ?? mm) : undefined
  return { raw, ...ingestLines(raw, { ...options, format }) }
}

const ingest = async (path: string, options = OPTIONS) => await readLines(await lines(path), options)

/** Opens and reads to the end. */
async function readAll(path: string): Promise<unknown> {
  const opened = await openRecording(path, 'in')
  return opened.kind === 'lines' ? await readLines(opened, OPTIONS) : opened
}

const row = (i: number) => JSON.stringify({ t: i / 10, line: `X+${(i / 4).toFixed(3).padStart(7, '0')}\r\n` })
const rows = (count: number) => Array.from({ length: count }, (_, i) => row(i))

describe('a recording of JSON lines', () => {
  test('gives the lines as they came', async () => {
    const path = await file('a.jsonl', `${rows(50).join('\n')}\n`)
    const ingested = await ingest(path)
    expect(ingested.raw[3]?.text).toBe('X+000.750')
    expect(ingested.samples.positionMm[49]).toBe(12.25 * 25.4)
    expect([ingested.linesRead, ingested.rejected.length]).toEqual([50, 0])
  })

  test('may begin with a byte-order mark, end its lines with CRLF, and lack the last line end', async () => {
    const path = await file('b.jsonl', `\uFEFF${rows(50).join('\r\n')}`)
    expect((await ingest(path)).linesRead).toBe(50)
  })

  test('counts damaged rows and a last one cut off, and reads on', async () => {
    const damaged = rows(50)
    damaged[10] = '{"t":1.0,"li'
    damaged[20] = '{"t":"2.0","line":"X+005.000"}'
    damaged[30] = '{"t":1e999,"line":"X+007.500"}'
    const ingested = await ingest(await file('c.jsonl', damaged.join('\n').slice(0, -9)))
    expect(ingested.samples.timeS.length).toBe(46)
    // Kept as it is with the raw lines, at the time of the row before.
    expect(ingested.raw[10]).toEqual({ timeS: 0.9, text: '{"t":1.0,"li' })
    expect([ingested.linesRead, ingested.rejected.map((one) => one.code)]).toEqual([
      50,
      Array(4).fill('garbled'),
    ])
  })

  test('is told by its first brace where the name does not tell', async () => {
    expect((await ingest(await file('d.txt', rows(30).join('\n')))).linesRead).toBe(30)
  })

  test('without one usable row is refused', async () => {
    await expect(readAll(await file('e.jsonl', 'hello\nthere\n'))).rejects.toMatchObject({
      code: 'no-usable-lines',
      message: expect.stringContaining('e.jsonl holds no readout line'),
    })
  })

  test('streams a large one: a hundred thousand rows leave little behind', async () => {
    const path = await file('big.jsonl', rows(100_000).join('\n'))
    const ingested = await ingest(path)
    expect(ingested.samples.timeS.length).toBe(100_000)
    expect(ingested.positionStepMm).toBeCloseTo(0.25 * 25.4, 9)
  })
})

describe('a recording as a table', () => {
  const table = (header: string, part = ',') =>
    [header, ...Array.from({ length: 50 }, (_, i) => `${i / 10}${part}${i / 4}`)].join('\n')

  test.each([
    ['t,position', 25.4],
    ['t,position_mm', 1],
    ['t,position_in', 25.4],
    ['\uFEFF"T","Position_mm"', 1],
  ])('with header %j', async (header, mm) => {
    const { samples, rejected } = await ingest(await file('t.csv', table(header)))
    expect(rejected).toEqual([])
    expect(samples.timeS.length).toBe(50)
    // Written by a spreadsheet: 0, 0.25, 0.5 …, each with as many decimals as it needs.
    expect(samples.positionMm[2]).toBe(0.5 * mm)
    expect(samples.positionMm[3]).toBe(0.75 * mm)
  })

  test('with decimal commas, between semicolons or in quotes', async () => {
    const texts = [
      't;position_mm\n0;5,125\n0,1;5,5\n0,2;-6\n',
      't,position_mm\n0,"5,125"\n0.1,"5,5"\n0.2,-6\n',
    ]
    for (const text of texts.map((one) => one.replace('"5,125"', '5.125'))) {
      const { samples } = await ingest(await file('s.csv', text))
      expect(Array.from(samples.positionMm)).toEqual([5.125, 5.5, -6])
      expect(Array.from(samples.timeS)).toEqual([0, 0.1, 0.2])
    }
  })

  test('with semicolons, further columns and empty rows', async () => {
    const text = 'n;t;position_mm\n1;0;5\n\n2;0.1;5.5\n;;\n3;0.2;6\n'
    expect(Array.from((await ingest(await file('s.csv', text))).samples.positionMm)).toEqual([5, 5.5, 6])
  })

  test('counts a last row that was cut off', async () => {
    const ingested = await ingest(await file('cut.csv', `${table('t,position')}\n5.0`))
    expect([ingested.samples.timeS.length, ingested.linesRead]).toEqual([50, 51])
    expect(ingested.rejected.map((one) => one.code)).toEqual(['garbled'])
  })

  test('may hold counts of a scale', async () => {
    const path = await file('u.csv', 't,position\n0,0\n0.1,200\n')
    const counts = await ingest(path, { ...OPTIONS, countLengthMm: 0.005 })
    expect(Array.from(counts.samples.positionMm)).toEqual([0, 1])
  })

  test.each([
    ['encoder-move-1.csv', 787],
    ['encoder-move-2.csv', 417],
  ])('reads the measured move %s', async (name, count) => {
    const { samples, rejected, positionStepMm } = await ingest(join('fixtures/recordings', name), {
      ...OPTIONS,
      bareUnit: 'mm',
    })
    expect([samples.timeS.length, rejected.length, positionStepMm]).toEqual([count, 0, 1])
    expect(samples.positionMm[0]).toBe(0)
    // 5 ms apart, as the README of the recordings says.
    expect(samples.timeS[100]! - samples.timeS[0]!).toBeCloseTo(0.5, 9)
  })
})

describe('a sheet of stopwatch entries', () => {
  test('takes decimal commas between semicolons, and leaves the notes alone', async () => {
    const text = 'dial;direction;distance;time;note\n3,5;+;152,4mm;28,4;1,5 turns back\n3-1/2;minus;6";30s;\n'
    expect(await openRecording(await file('sheet.csv', text), 'mm')).toMatchObject({
      entries: [
        { dial: 3.5, direction: 1, distanceMm: 152.4, durationS: 28.4, note: '1,5 turns back' },
        { dial: 3.5, direction: -1, distanceMm: expect.closeTo(152.4, 9), durationS: 30 },
      ],
    })
  })

  test('takes fractions, rapid, units and notes', async () => {
    const text = [
      'dial,direction,distance,time,note',
      '3 1/2,+,6,28.4,"cold, first run"',
      '4,-,150mm,1.5min,',
      'Rapid,\u2212,1/2in,800ms,',
    ].join('\n')
    expect(await openRecording(await file('sheet.csv', text), 'in')).toEqual({
      kind: 'sheet',
      blankRows: 0,
      entries: [
        {
          dial: 3.5,
          direction: 1,
          distanceMm: expect.closeTo(152.4, 9),
          durationS: 28.4,
          note: 'cold, first run',
        },
        { dial: 4, direction: -1, distanceMm: 150, durationS: 90, note: '' },
        { dial: 'rapid', direction: -1, distanceMm: 12.7, durationS: 0.8, note: '' },
      ],
    })
  })

  test('is told by its header, whatever the order, the case and the separator', async () => {
    const text = 'Time;Distance;Direction;Dial\n30;100;+;2\n'
    const sheet = await openRecording(await file('order.csv', text), 'mm')
    expect(sheet).toMatchObject({ entries: [{ dial: 2, distanceMm: 100, durationS: 30, note: '' }] })
  })

  test.each([
    ['Dial ,Direction,Distance (mm),Time [s]', 100],
    ['dial,direction,"Distance [in.]",Time (sec)', 2540],
    ['dial,direction,distance_mm,time', 100],
    ['dial,direction,distance,time', 2540],
  ])(
    'takes bare distances in the unit that its header %j says, else in that of the machine',
    async (header, mm) => {
      const path = await file('units.csv', `${header}\n2,+,100,30\n,,,,\n`)
      expect(await openRecording(path, 'in')).toMatchObject({
        entries: [{ dial: 2, distanceMm: mm, durationS: 30 }],
        blankRows: 0,
      })
    },
  )
})

describe('what cannot be read is refused in one sentence that names the place', () => {
  const sheet = (cells: string) => `dial,direction,distance,time\n1,+,6,30\n${cells}\n`
  test.each<[string, string | Buffer, string, RegExp]>([
    ['an empty file', '', 'file-empty', /bad\.csv is empty/],
    [
      'a binary file',
      Buffer.from([0x7f, 0x45, 0x4c, 0x46, 0, 0, 1]),
      'file-not-text',
      /not a plain text file/,
    ],
    ['UTF-16', Buffer.from('\uFEFFt,position\n0,1\n', 'utf16le'), 'file-not-text', /not a plain text file/],
    ['a strange header', 'time,pos\n0,1\n', 'unknown-header', /starts with "time,pos"/],
    [
      'a time in minutes',
      'dial,direction,distance,Time (min)\n1,+,6,3\n',
      'unknown-header',
      /The column "Time \(min\)" of .*bad\.csv cannot be read/,
    ],
    [
      'a distance in a strange unit',
      'dial,direction,Distance (yd),time\n1,+,6,3\n',
      'unknown-header',
      /The column "Distance \(yd\)"/,
    ],
    ['degrees on a straight axis', 'dial,direction,distance (deg),time\n1,+,6,3\n', 'other-kind', /degrees/],
    [
      'a column that is there twice, with and without its unit',
      'dial,direction,distance,distance (mm),time\n1,+,6,6,30\n',
      'bad-row',
      /has the column "distance" twice/,
    ],
    [
      'a column that is there twice',
      'dial,direction,distance,time,time\n1,+,6,30,3\n',
      'bad-row',
      /has the column "time" twice/,
    ],
    ['a header alone', 't,position\n', 'no-usable-lines', /not one row/],
    ['a sheet without entries', 'dial,direction,distance,time\n', 'no-usable-lines', /no entries/],
    [
      'two decimal marks',
      't;position\n0;1\n0;1.234,5\n',
      'bad-row',
      /row 3, column position: "1\.234,5" is not a number/,
    ],
    ['a comma of two meanings', 't,position\n0,"1,500"\n', 'bad-row', /row 2, column position: "1,500"/],
    ['a decimal comma among commas', 't,position\n0,1,0,5\n', 'bad-row', /row 2: "0,1,0,5" has 4 cells/],
    [
      'a quote left open',
      't,position\n0,1\n0.1,"2\n0.2,3\n',
      'bad-row',
      /cannot be read as CSV: Quote Not Closed/,
    ],
    ['nan', 't,position\n0,1\n0.1,nan\n', 'bad-row', /row 3, column position: "nan" is not a number/],
    ['an infinite time', 't,position\n0,1\ninf,2\n', 'bad-row', /row 3, column t: "inf"/],
    ['an overflow', 't,position\n0,1e999\n', 'bad-row', /row 2, column position: "1e999"/],
    ['an empty cell amid the rows', 't,position\n0,1\n0.1,\n0.2,2\n', 'bad-row', /row 3: a cell is empty/],
    ['a negative distance', sheet('2,+,-6,30'), 'bad-stopwatch-entry', /bad\.csv, row 3: the distance/],
    ['a zero time', sheet('2,+,6,0'), 'bad-stopwatch-entry', /row 3: the time 0 s is not above 0/],
    ['no direction', sheet('2,left,6,30'), 'bad-direction', /row 3, direction: "left"/],
    ['a dial in words', sheet('two,+,6,30'), 'bad-row', /row 3, dial: "two" is not a number/],
    ['a strange unit', sheet('2,+,6yd,30'), 'bad-row', /row 3, distance: the unit of "6yd"/],
    ['a lettered dial', sheet('B,+,6,30'), 'bad-row', /row 3, dial: "B" is a letter/],
    ['a row too short', sheet('2,+'), 'bad-row', /row 3, distance: enter a number/],
  ])('%s', async (_, content, code, message) => {
    const failure: unknown = await readAll(await file('bad.csv', content)).catch((error: unknown) => error)
    expect(failure).toBeInstanceOf(TablepaceError)
    expect(failure).toMatchObject({ code, exitCode: 1, message: expect.stringMatching(message) })
    expect((failure as TablepaceError).hint).not.toBe('')
  })

  test('a missing file and a folder', async () => {
    const none = openRecording(join(folder, 'none.csv'), 'in')
    await expect(none).rejects.toMatchObject({ code: 'file-not-found', exitCode: 5 })
    await mkdir(join(folder, 'dir.csv'))
    await expect(openRecording(join(folder, 'dir.csv'), 'in')).rejects.toMatchObject({
      code: 'file-is-folder',
    })
  })

  // The superuser may read everything.
  test.skipIf(process.getuid?.() === 0)('a file that may not be read', async () => {
    const path = await file('closed.csv', 't,position\n0,1\n')
    await chmod(path, 0)
    await expect(openRecording(path, 'in')).rejects.toMatchObject({ code: 'file-permission', exitCode: 5 })
  })
})
