/** One coded picture of a film. */
export interface CodedFrame {
  readonly timeS: number
  readonly isKey: boolean
  readonly data: Buffer
}

/** Ticks of 0.1 ms. */
const TICK_NS = 100_000

/**
 * A WebM file of VP8 pictures, as plain as its specification allows (RFC 9559, Matroska; webmproject.org, container
 * guidelines): one track, a cluster from key picture to key picture, and an index, so that a browser can seek.
 */
export function webmFilm(
  width: number,
  height: number,
  frames: readonly CodedFrame[],
  durationS: number,
): Buffer {
  const ticks = (s: number): number => Math.round((s * 1e9) / TICK_NS)
  const header = element('1a45dfa3', [
    element('4286', unsigned(1)),
    element('42f7', unsigned(1)),
    element('42f2', unsigned(4)),
    element('42f3', unsigned(8)),
    element('4282', Buffer.from('webm')),
    element('4287', unsigned(2)),
    element('4285', unsigned(2)),
  ])
  const length = Buffer.alloc(8)
  length.writeDoubleBE(ticks(durationS))
  const info = element('1549a966', [
    element('2ad7b1', unsigned(TICK_NS)),
    element('4489', length),
    element('4d80', Buffer.from('test')),
    element('5741', Buffer.from('test')),
  ])
  const tracks = element('1654ae6b', [
    element('ae', [
      element('d7', unsigned(1)),
      element('73c5', unsigned(1)),
      element('83', unsigned(1)),
      element('86', Buffer.from('V_VP8')),
      element('e0', [element('b0', unsigned(width)), element('ba', unsigned(height))]),
    ]),
  ])
  const clusters: { atTick: number; blocks: Buffer[] }[] = []
  for (const { timeS, isKey, data } of frames) {
    if (isKey) clusters.push({ atTick: ticks(timeS), blocks: [] })
    const cluster = clusters.at(-1)!
    const head = Buffer.from([0x81, 0, 0, isKey ? 0x80 : 0])
    head.writeInt16BE(ticks(timeS) - cluster.atTick, 1)
    cluster.blocks.push(element('a3', Buffer.concat([head, data])))
  }
  const written = clusters.map(({ atTick, blocks }) => ({
    atTick,
    bytes: element('1f43b675', [element('e7', unsigned(atTick)), ...blocks]),
  }))
  // The index stands in front and names places behind itself; with numbers of fixed length its own length is known.
  const cues = (start: number): Buffer => {
    let at = start
    return element(
      '1c53bb6b',
      written.map(({ atTick, bytes }) => {
        const place = element('b7', [element('f7', unsigned(1)), element('f1', unsigned(at))])
        at += bytes.length
        return element('bb', [element('b3', unsigned(atTick)), place])
      }),
    )
  }
  const before = info.length + tracks.length
  const body = [info, tracks, cues(before + cues(0).length), ...written.map(({ bytes }) => bytes)]
  return Buffer.concat([header, element('18538067', body)])
}

function element(id: string, content: Buffer | readonly Buffer[]): Buffer {
  const body = Buffer.isBuffer(content) ? content : Buffer.concat(content)
  const size = Buffer.alloc(8)
  size.writeBigUInt64BE(BigInt(body.length) | (1n << 56n))
  return Buffer.concat([Buffer.from(id, 'hex'), size, body])
}

function unsigned(value: number): Buffer {
  const bytes = Buffer.alloc(8)
  bytes.writeBigUInt64BE(BigInt(value))
  return bytes
}
