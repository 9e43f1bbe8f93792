import { readFileSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { expect, it } from 'vitest'

/**
 * Packages that are loaded before any command runs: what the built entry takes by `import()` on a Node that is new enough,
 * and the static imports of that, chunk by chunk.
 */
function packagesLoadedBy(entry: string): Set<string> {
  const packages = new Set<string>()
  const seen = new Set<string>()
  const visit = (path: string): void => {
    if (seen.has(path)) return
    seen.add(path)
    const statics = readFileSync(path, 'utf8').matchAll(/^(?:import|export)\s[^;(]*?["']([^"']+)["'];?$/gm)
    for (const [, name] of statics) {
      if (name!.startsWith('.')) visit(resolve(dirname(path), name!))
      else packages.add(name!)
    }
  }
  const program = /await import\("(.*\/run-[^"]*)"\)/.exec(readFileSync(entry, 'utf8'))
  visit(resolve(entry))
  visit(resolve(dirname(entry), program![1]!))
  return packages
}

it('starts light: a lookup loads the command line alone before it opens the store', () => {
  const packages = packagesLoadedBy('dist/tablepace.js')
  expect([...packages].filter((name) => !name.startsWith('node:'))).toEqual(['commander'])
})
