import { execFileSync } from 'node:child_process'
import { appendFileSync, cpSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs'
import { dirname, join, resolve } from 'node:path'
import { expect, it } from 'vitest'
import { temporaryFolder } from '../../harness/program.js'

/** What the build begins with, as short as it can be: what is built where is the same, and how much decides nothing. */
const SOURCES = {
  'src/cli/main.ts': "console.log('the entry')",
  'src/cli/program.ts': "console.log('the program')",
  'src/cli/lookups.ts': "console.log('the lookups')",
  'src/library/index.ts': 'export const answer: number = 1',
  'src/page/client/main.tsx': "console.log('the page')",
  'src/page/client/style.css': 'body { margin: 0 }',
  'src/page/client/index.html': '<title>page</title>',
  'src/page/client/icon.svg': '<svg xmlns="http://www.w3.org/2000/svg" />',
}

it('is built anew where a source or a built file has changed, and only there', () => {
  const folder = temporaryFolder()
  for (const path of ['scripts', 'package.json', 'package-lock.json', 'tsconfig.json', 'tsconfig.types.json'])
    cpSync(path, join(folder, path), { recursive: true })
  for (const [path, text] of Object.entries(SOURCES)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true })
    writeFileSync(join(folder, path), `${text}\n`)
  }
  symlinkSync(resolve('node_modules'), join(folder, 'node_modules'))
  const build = () =>
    execFileSync(process.execPath, [join(folder, 'scripts/build.js'), '--changed'], { encoding: 'utf8' })
  const run = () => execFileSync(process.execPath, [join(folder, 'dist/tablepace.js')], { encoding: 'utf8' })
  const nothingToDo = /^dist is what these sources make\.$/m
  expect(build()).not.toMatch(nothingToDo)
  expect(run()).toBe('the entry\n')
  expect(build()).toMatch(nothingToDo)
  appendFileSync(join(folder, 'src/cli/main.ts'), "console.log('changed')\n")
  expect(build()).not.toMatch(nothingToDo)
  expect(run()).toBe('the entry\nchanged\n')
  appendFileSync(join(folder, 'dist/library.mjs'), '// changed\n')
  expect(build()).not.toMatch(nothingToDo)
  expect(build()).toMatch(nothingToDo)
})
