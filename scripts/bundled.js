import { readFile, rm } from 'node:fs/promises'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'

const root = fileURLToPath(new URL('..', import.meta.url))

/**
 * Bundles TypeScript of this project, given as text that re-exports it, and hands its exports to a script.
 *
 * @param contents the text
 * @param changed numbers that exported constants have for once, by file from the root and name: what a simulation is
 *   tried with before it is chosen
 * @throws Error where a file holds no such constant
 */
export async function bundled(contents, changed = {}) {
  const outfile = `${root}node_modules/.cache/bundled-${process.pid}-${Math.random().toString(36).slice(2)}.mjs`
  await build({
    stdin: { contents, resolveDir: root, loader: 'ts' },
    outfile,
    bundle: true,
    format: 'esm',
    platform: 'node',
    packages: 'external',
    logLevel: 'warning',
    plugins: Object.entries(changed).map(([file, numbers]) => withNumbers(file, numbers)),
  })
  const exported = await import(pathToFileURL(outfile).href)
  await rm(outfile)
  return exported
}

function withNumbers(file, numbers) {
  return {
    name: file,
    setup({ onLoad }) {
      onLoad({ filter: /\.ts$/ }, async ({ path }) => {
        if (path !== `${root}${file}`) return null
        let text = await readFile(path, 'utf8')
        for (const [name, number] of Object.entries(numbers)) {
          const constant = new RegExp(`^(export const ${name} = )[-\\d.]+$`, 'm')
          if (!constant.test(text)) throw new Error(`${file} holds no number ${name}`)
          text = text.replace(constant, `$1${number}`)
        }
        return { contents: text, loader: 'ts' }
      })
    },
  }
}
