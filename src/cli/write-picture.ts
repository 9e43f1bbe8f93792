import { extname } from 'node:path'
import { UsageError } from '../errors/index.js'
import type { GlobalOptions } from './context.js'
import { printJson, printResult } from './terminal.js'

/** Writes a picture to an SVG file, or to standard output for `-`. @throws UsageError `picture-format` */
export async function writePicture(path: string, svg: string, options: GlobalOptions): Promise<void> {
  if (path === '-') {
    process.stdout.write(svg)
    return
  }
  if (extname(path).toLowerCase() !== '.svg') {
    throw new UsageError(
      'picture-format',
      `"${path}" does not end in .svg, the one kind of picture there is.`,
      'Name it like curve.svg; browsers and drawing programs open it and print it.',
    )
  }
  const { writeFileAtomically } = await import('../export/index.js')
  writeFileAtomically(path, svg)
  if (options.json) printJson({ path, format: 'svg' })
  else printResult(`Wrote ${path}`)
}
