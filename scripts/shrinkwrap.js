// Makes npm-shrinkwrap.json of package-lock.json, so that an installed program has the packages that were tested:
// `npm pack` runs it before packing and takes the file away afterwards (`--remove`). Packages for development are left
// out, and so are the addresses of registries: who installs uses a registry of his own.
import { readFileSync, rmSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

const PACKED = fileURLToPath(new URL('../npm-shrinkwrap.json', import.meta.url))

/** The lock of what an installed program needs, without addresses. */
function shrinkwrapOf(lock) {
  const [root, ...rest] = Object.entries(lock.packages)
  const { devDependencies: _, ...program } = root[1]
  const needed = rest.flatMap(([path, { resolved: __, ...entry }]) => (entry.dev ? [] : [[path, entry]]))
  return { ...lock, packages: Object.fromEntries([['', program], ...needed]) }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  if (process.argv.includes('--remove')) rmSync(PACKED, { force: true })
  else {
    const lock = JSON.parse(readFileSync(new URL('../package-lock.json', import.meta.url), 'utf8'))
    writeFileSync(PACKED, `${JSON.stringify(shrinkwrapOf(lock), null, 2)}\n`)
  }
}
