import { DataError } from '../errors/index.js'
import { LineAssembler } from './line-assembler.js'
import type { LineRecording } from './recording.js'
import type { StampedLine } from './stamped-line.js'

/**
 * Streams a recording of JSON lines, `{"t":SECONDS,"line":"raw text as it came"}`. A row that is no
 * such object, above all one cut off at the end, is counted as damaged.
 *
 * @throws DataError `no-usable-lines` at the end of a file without a single usable row
 */
export function readJsonLines(path: string, bytes: AsyncIterable<Buffer>): LineRecording {
  let damaged = 0
  async function* lines(): AsyncGenerator<StampedLine> {
    let ready: StampedLine[] = []
    let usable = 0
    const rows = new LineAssembler({
      onLine: (row) => {
        const line = parseRow(row.text)
        if (line === null) damaged += 1
        else ready.push(line)
      },
      onRejected: ({ code }) => {
        if (code !== 'blank') damaged += 1
      },
      dropFirst: false,
    })
    for await (const chunk of withLastLineEnd(bytes)) {
      rows.push(chunk, 0)
      usable += ready.length
      yield* ready
      ready = []
    }
    if (usable === 0) {
      throw new DataError(
        'no-usable-lines',
        `${path} holds ${damaged} rows and not one is a readout line.`,
        'Each row reads {"t":SECONDS,"line":"text"}.',
      )
    }
  }
  return { kind: 'lines', lines: lines(), numbers: 'as-sent', unit: null, damagedRows: () => damaged }
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
