import { execFileSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'
import { expect, it } from 'vitest'

interface Lock {
  readonly packages: Readonly<
    Record<string, { readonly version: string; readonly integrity?: string; readonly dev?: boolean }>
  >
}

it('the packed program brings the lock of what it was tested with, and no address of a registry', () => {
  // As npm does it: the script before packing, the list of what is packed, the script after it.
  const script = (...args: string[]) => execFileSync(process.execPath, ['scripts/shrinkwrap.js', ...args])
  script()
  const text = readFileSync('npm-shrinkwrap.json', 'utf8')
  const files: { files: { path: string }[] }[] = JSON.parse(
    execFileSync('npm', ['pack', '--dry-run', '--json', '--ignore-scripts'], { encoding: 'utf8' }),
  )
  script('--remove')
  expect(existsSync('npm-shrinkwrap.json')).toBe(false)
  expect(files[0]!.files.map(({ path }) => path)).toContain('npm-shrinkwrap.json')

  const { packages }: Lock = JSON.parse(text)
  const locked: Lock = JSON.parse(readFileSync('package-lock.json', 'utf8'))
  const needed = Object.entries(locked.packages).filter(([path, { dev }]) => path !== '' && !dev)
  expect(needed.length).toBeGreaterThan(30)
  expect(Object.keys(packages)).toEqual(['', ...needed.map(([path]) => path)])
  for (const [path, { version, integrity }] of needed) {
    expect(packages[path]).toMatchObject({ version, integrity })
    expect(integrity, path).toMatch(/^sha512-/)
  }
  expect(text).not.toMatch(/"resolved"|"dev"|https?:\/\/registry/)
})
