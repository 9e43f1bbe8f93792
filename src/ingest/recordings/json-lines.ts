import { DataError } from '../../errors/index.js'
import { LineAssembler } from '../lines/line-assembler.js'
import type { StampedLine } from '../lines/stamped-line.js'
import type { LineRecording } from './recording.js'

/** Stands for a row too long to keep: the front of an object, which no format reads as a line. */
const LOST_ROW = '{'

/**
 * Streams a recording of JSON lines, `{"t":SECONDS,"line":"raw text as it came"}`. A row that is no
 * such object, above all one cut off at the end, is handed on as the line it is, with the time of the
 * row before (at the very start it is dropped): it is kept with the raw data, and refused and counted
 * like any other damaged line.
 *
 * @throws DataError `no-usable-lines` at the end of a file without a single usable row
 */
export function readJsonLines(path: string, bytes: AsyncIterable<Buffer>): LineRecording {
  async function* lines(): AsyncGenerator<StampedLine> {
    let ready: StampedLine[] = []
    let usable = 0
    let lastS: number | null = null
    const keepDamaged = (text: string) => {
      // Before the first usable row there is no time to give it.
      if (lastS !== null) ready.push({ timeS: lastS, text })
    }
    const rows = new LineAssembler({
      onLine: (row) => {
        const line = parseRow(row.text)
        if (line === null) {
          keepDamaged(row.text)
          return
        }
        usable += 1
        lastS = line.timeS
        ready.push(line)
      },
      onRejected: ({ code }) => {
        if (code !== 'blank') keepDamaged(LOST_ROW)
      },
      dropFirst: false,
    })
    for await (const chunk of withLastLineEnd(bytes)) {
      rows.push(chunk, 0)
      yield* ready
      ready = []
    }
    if (usable === 0) {
      throw new DataError(
        'no-usable-lines',
        `${path} holds no readout line.`,
        'Each row reads {"t":SECONDS,"line":"text"}.',
      )
    }
  }
  return { kind: 'lines', lines: lines(), numbers: 'as-sent', unit: null }
}

/** A last row without a line end is whole if its JSON is. */
async function* withLastLineEnd(bytes: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
  yield* bytes
  yield Buffer.from('\n')
}

function parseRow(latin1: string): StampedLine | null {
  let row: unknown
  try {
    row = JSON.parse(
      Buffer.from(latin1, 'latin1')
        .toString('utf8')
        .replace(/^\uFEFF/, ''),
    )
  } catch {
    return null
  }
  if (typeof row !== 'object' || row === null || !('t' in row) || !('line' in row)) return null
  const { t, line } = row
  if (typeof t !== 'number' || !Number.isFinite(t) || typeof line !== 'string') return null
  return { timeS: t, text: line.replace(/[\r\n]+$/, '') }
}
