import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { temporaryFolder } from '../harness/program.js'

/** Loads `program.cjs` in a process of its own, and tells what it exports and whether V8 took the kept code. */
function loader(folder: string): string {
  const file = join(folder, 'load.ts')
  writeFileSync(
    file,
    `import vm from 'node:vm'
    import { requireCompiled } from ${JSON.stringify(join(process.cwd(), 'src/cli/require-compiled.ts'))}
    const { Script } = vm
    let refused: boolean | undefined
    vm.Script = class extends Script {
      constructor(...all: ConstructorParameters<typeof Script>) {
        super(...all)
        refused = this.cachedDataRejected
      }
    }
    const { exported, keep } = requireCompiled(process.argv[2]!, process.argv[3]!)
    console.log((exported as { answer: () => number }).answer(), refused === false ? 'kept' : 'compiled')
    if (process.exitCode !== 1) keep()`,
  )
  return file
}

it('takes the code that an earlier process compiled, and only where it is of the same source and whole', () => {
  const folder = temporaryFolder()
  const [program, cache] = [join(folder, 'program.cjs'), join(folder, 'kept/code')]
  const script = loader(folder)
  const load = () =>
    spawnSync(process.execPath, ['--no-warnings', script, program, cache], {
      encoding: 'utf8',
    }).stdout.trim()
  writeFileSync(program, 'exports.answer = () => require("node:path").basename(__filename).length')
  expect(load()).toBe('11 compiled')
  expect(load()).toBe('11 kept')

  // Same length: V8 alone would not see it.
  writeFileSync(program, 'exports.answer = () => require("node:path").basename(__filename).LENGTH')
  expect(load()).toBe('undefined compiled')
  expect(load()).toBe('undefined kept')

  const code = readFileSync(cache)
  code[code.length >> 1]! ^= 1
  writeFileSync(cache, code)
  expect(load()).toBe('undefined compiled')
  expect(load()).toBe('undefined kept')

  writeFileSync(program, 'exports.answer = () => { process.exitCode = 1; return 1 }')
  expect(load()).toBe('1 compiled')
  expect(load()).toBe('1 compiled')
  expect(existsSync(cache)).toBe(true)
})
