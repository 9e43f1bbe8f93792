import { existsSync, readdirSync, readFileSync } from 'node:fs'
import type { IncomingMessage, ServerResponse } from 'node:http'
import { dirname, extname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { gzipSync } from 'node:zlib'
import { FileError } from '../../../errors/index.js'
import { takesGzip } from './answers.js'

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
}

interface StaticFile {
  readonly type: string
  readonly plain: Buffer
  readonly gzipped: Buffer
}

/** The files of the page by their address. Only what was there at the start is served, so that no path leads out. */
type StaticFiles = ReadonlyMap<string, StaticFile>

/** Reads the built page. @throws FileError `page-missing` where it was never built */
export function loadStaticFiles(folder = pageFolder()): StaticFiles {
  const files = new Map<string, StaticFile>()
  for (const name of readdirSync(folder)) {
    const type = TYPES[extname(name)]
    if (type === undefined) continue
    const plain = readFileSync(join(folder, name))
    files.set(name === 'index.html' ? '/' : `/${name}`, { type, plain, gzipped: gzipSync(plain) })
  }
  return files
}

/** Answers with a file of the page; false where there is none at this address. */
export function serveStatic(
  files: StaticFiles,
  path: string,
  request: IncomingMessage,
  response: ServerResponse,
): boolean {
  const file = files.get(path)
  if (file === undefined || request.method === 'POST') return false
  const zipped = takesGzip(request)
  const body = zipped ? file.gzipped : file.plain
  response.writeHead(200, {
    'Content-Type': file.type,
    'Content-Length': body.length,
    Vary: 'Accept-Encoding',
    ...(zipped ? { 'Content-Encoding': 'gzip' } : {}),
  })
  response.end(request.method === 'HEAD' ? undefined : body)
  return true
}

/** `dist/page`, found from the bundle as well as from the sources. */
function pageFolder(): string {
  const start = dirname(fileURLToPath(import.meta.url))
  for (let folder = start; dirname(folder) !== folder; folder = dirname(folder)) {
    for (const place of [join(folder, 'page'), join(folder, 'dist', 'page')]) {
      if (existsSync(join(place, 'index.html')) && existsSync(join(place, 'page.js'))) return place
    }
  }
  throw new FileError(
    'page-missing',
    'The files of the page are not in this installation.',
    'Install tablepace again, or build it with "npm run build".',
  )
}
