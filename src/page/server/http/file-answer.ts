import type { ServerResponse } from 'node:http'

/** A file that the browser is to keep. */
export class FileAnswer {
  readonly name: string
  readonly type: string
  readonly content: Uint8Array

  /**
   * @param name a plain name, as `plainFileName` makes one
   * @param type media type
   */
  constructor(name: string, type: string, content: Uint8Array | string) {
    this.name = name
    this.type = type
    this.content = typeof content === 'string' ? Buffer.from(content) : content
  }

  send(response: ServerResponse): void {
    response.writeHead(200, {
      'Content-Type': this.type,
      'Content-Length': this.content.length,
      'Content-Disposition': `attachment; filename="${this.name}"`,
    })
    response.end(this.content)
  }
}

/**
 * A name for a file on any system, from names that a person gave to a machine or an axis.
 *
 * @example plainFileName(['Bench <1>', 'X'], 'csv') // 'Bench-1-X.csv'
 */
export function plainFileName(parts: readonly string[], ending: string): string {
  const name = parts
    .join('-')
    .replace(/[^A-Za-z0-9.]+/g, '-')
    .replace(/^[-.]+|[-.]+$/g, '')
  return `${name === '' ? 'tablepace' : name.slice(0, 80)}.${ending}`
}
