import { existsSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'

interface Locked {
  readonly resolved?: string
  readonly gypfile?: boolean
}
const { packages } = JSON.parse(readFileSync('package-lock.json', 'utf8')) as {
  readonly packages: Readonly<Record<string, Locked>>
}

it('names no registry', () => {
  expect(Object.entries(packages).filter(([, { resolved }]) => resolved?.includes('//'))).toEqual([])
})

it('lets npm compile nothing', () => {
  // npm runs node-gyp where a package has a binding.gyp, no install script of its own and no `gypfile: false`. The last
  // stands in the lock file by hand: `npm install` may take it out.
  const compiled = Object.entries(packages).filter(([folder, { gypfile }]) => {
    if (gypfile === false || !existsSync(`${folder || '.'}/binding.gyp`)) return false
    const { scripts = {} } = JSON.parse(readFileSync(`${folder}/package.json`, 'utf8')) as {
      readonly scripts?: Readonly<Record<string, string>>
    }
    return scripts.install === undefined && scripts.preinstall === undefined
  })
  expect(compiled.map(([folder]) => folder)).toEqual([])
})
