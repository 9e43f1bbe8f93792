/** What was written to one stream of this process, gathered until undone. */
interface GatheredOutput {
  readonly text: () => string
  readonly undo: () => void
}

/** Gathers what is written to a stream of this process. Whoever listens for its errors meanwhile is forgotten with it. */
export function gatherOutput(stream: NodeJS.WriteStream): GatheredOutput {
  const pieces: Buffer[] = []
  const { write } = stream
  const listeners = stream.listeners('error')
  stream.write = ((piece: string | Uint8Array, ...rest: unknown[]) => {
    pieces.push(Buffer.from(piece as string, typeof rest[0] === 'string' ? (rest[0] as 'utf8') : undefined))
    const written = rest.at(-1)
    if (typeof written === 'function') process.nextTick(written)
    return true
  }) as typeof stream.write
  return {
    text: () => Buffer.concat(pieces).toString('utf8'),
    undo: () => {
      stream.write = write
      for (const one of stream.listeners('error')) {
        if (!listeners.includes(one)) stream.removeListener('error', one as () => void)
      }
    },
  }
}
