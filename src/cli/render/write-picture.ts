import { extname } from 'node:path'
import { UsageError } from '../../errors/index.js'
import type { WritingOptions } from '../context.js'
import { printContent, printJson, printResult } from '../terminal/terminal.js'

/**
 * Writes a picture to an SVG file, or to standard output for `-`.
 *
 * @param store path of the store in use, which is never written over
 * @throws UsageError `picture-format`, and as `writeFile` does
 */
export async function writePicture(
  path: string,
  svg: string,
  store: string,
  options: WritingOptions,
): Promise<void> {
  if (path === '-') return printContent(svg)
  const { refuseTaken, writeFile } = await import('../../files/index.js')
  const to = { path, force: options.force ?? false, store }
  refuseTaken(to)
  if (extname(path).toLowerCase() !== '.svg') {
    throw new UsageError(
      'picture-format',
      `"${path}" does not end in .svg, the one kind of picture there is.`,
      'Name it like curve.svg; browsers and drawing programs open it and print it.',
    )
  }
  writeFile(to, svg)
  if (options.json) printJson({ path, format: 'svg' })
  else printResult(`Wrote ${path}`)
}
