import { execFileSync } from 'node:child_process'
import { appendFileSync, cpSync, symlinkSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { expect, it } from 'vitest'
import { temporaryFolder } from '../../harness/program.js'

it('is built anew where a source or a built file has changed, and only there', () => {
  const folder = temporaryFolder()
  const copied = [
    'src',
    'calibration',
    'scripts',
    'dist',
    'package.json',
    'package-lock.json',
    'tsconfig.json',
  ]
  for (const path of [...copied, 'tsconfig.types.json']) cpSync(path, join(folder, path), { recursive: true })
  symlinkSync(resolve('node_modules'), join(folder, 'node_modules'))
  const build = () =>
    execFileSync(process.execPath, [join(folder, 'scripts/build.js'), '--changed'], { encoding: 'utf8' })
  const nothingToDo = /^dist is what these sources make\.$/m
  build()
  expect(build()).toMatch(nothingToDo)
  appendFileSync(join(folder, 'src/cli/main.ts'), '// changed\n')
  expect(build()).not.toMatch(nothingToDo)
  appendFileSync(join(folder, 'dist/library.js'), '// changed\n')
  expect(build()).not.toMatch(nothingToDo)
  expect(build()).toMatch(nothingToDo)
})
