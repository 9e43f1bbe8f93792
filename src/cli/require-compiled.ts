import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs'
import { createRequire, Module } from 'node:module'
import { dirname } from 'node:path'
import vm from 'node:vm'
import zlib from 'node:zlib'

/** Before the compiled code stand the checksums of the source it was made of and of itself, four bytes each. */
const HEADER_BYTES = 8

/**
 * Loads a CommonJS file as `require` does, with the code that V8 compiled in an earlier process. Node's own cache keeps
 * what is compiled while a file loads; this one is kept when a command is done, and so holds every function that the
 * command needed, whose compiling takes longer than running it. Without a cache, or where none can be written, the file
 * loads all the same.
 *
 * @param file absolute path of the file
 * @param cache path of the compiled code: of one file, one command and one Node; null for none
 * @returns what the file exports, and what keeps the code compiled so far where none that fits was there
 */
export function requireCompiled(
  file: string,
  cache: string | null,
): { readonly exported: unknown; readonly keep: () => void } {
  const require = createRequire(file)
  const loaded = require.cache[file]
  if (cache === null || loaded !== undefined)
    return { exported: loaded?.exports ?? require(file), keep: () => {} }
  const source = readFileSync(file)
  const checksum = zlib.crc32(source)
  const cachedData = readCompiled(cache, checksum)
  const wrapped = `(function (exports, require, module, __filename, __dirname) {${source.toString()}\n})`
  const script = new vm.Script(wrapped, {
    filename: file,
    ...(cachedData && { cachedData }),
  })
  const isKept = cachedData !== null && script.cachedDataRejected !== true
  const module = new Module(file)
  require.cache[file] = module
  script.runInThisContext()(module.exports, require, module, file, dirname(file))
  return {
    exported: module.exports,
    keep: () => {
      if (!isKept) keepCompiled(cache, checksum, script.createCachedData())
    },
  }
}

/** Compiled code that is whole and of this source, or null. V8 itself refuses that of another version. */
function readCompiled(cache: string, sourceChecksum: number): Buffer | null {
  try {
    const kept = readFileSync(cache)
    const code = kept.subarray(HEADER_BYTES)
    const fits = kept.readUInt32LE(0) === sourceChecksum && kept.readUInt32LE(4) === zlib.crc32(code)
    return fits ? code : null
  } catch {
    return null
  }
}

function keepCompiled(cache: string, sourceChecksum: number, code: Buffer): void {
  const header = Buffer.alloc(HEADER_BYTES)
  header.writeUInt32LE(sourceChecksum, 0)
  header.writeUInt32LE(zlib.crc32(code), 4)
  try {
    mkdirSync(dirname(cache), { recursive: true, mode: 0o700 })
    // Another call may be writing the same; the last one to finish stays, whole.
    const half = `${cache}.${process.pid}`
    writeFileSync(half, Buffer.concat([header, code]), { mode: 0o600 })
    renameSync(half, cache)
  } catch {
    // The next start compiles anew.
  }
}
