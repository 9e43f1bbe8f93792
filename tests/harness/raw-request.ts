import { request } from 'node:http'

export interface RawAnswer {
  readonly status: number
  readonly headers: Readonly<Record<string, string | string[] | undefined>>
  readonly body: string
  readonly bytes: Buffer
}

/** A request with exactly these headers; `fetch` would set `Host` and `Origin` by itself. */
export function rawRequest(
  url: string,
  options: {
    readonly method?: string
    readonly path?: string
    /** By name, or as a flat list of names and values to which nothing is added. */
    readonly headers?: Readonly<Record<string, string>> | string[]
    readonly body?: string | Buffer
  } = {},
): Promise<RawAnswer> {
  const { hostname, port, host } = new URL(url)
  return new Promise((done, fail) => {
    const asked = request(
      {
        ...{ hostname, port, method: options.method ?? 'GET', path: options.path ?? '/' },
        headers: Array.isArray(options.headers) ? options.headers : { Host: host, ...options.headers },
        setHost: false,
        agent: false,
      },
      (response) => {
        const chunks: Buffer[] = []
        response.on('data', (chunk: Buffer) => chunks.push(chunk))
        response.on('end', () => {
          const bytes = Buffer.concat(chunks)
          const { statusCode: status = 0, headers } = response
          done({ status, headers, body: bytes.toString('utf8'), bytes })
        })
        response.on('error', fail)
      },
    )
    asked.on('error', fail)
    asked.end(options.body)
  })
}
