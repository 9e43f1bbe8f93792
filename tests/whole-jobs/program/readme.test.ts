import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { buildProgram } from '../../../src/cli/program.js'

describe('README', () => {
  it('shows what the commands of its tour print', () => {
    // Exits with an error, which throws here, where the README would change.
    execFileSync(process.execPath, ['scripts/readme-tour.js', '--check'], { stdio: 'pipe' })
  })

  it('names no command that the program does not have', () => {
    const known = new Set(buildProgram().commands.map((command) => command.name()))
    const named = [...readFileSync('README.md', 'utf8').matchAll(/(?:^|\$ |`)tablepace ([a-z]+)/gm)].map(
      (match) => match[1]!,
    )
    expect(named.length).toBeGreaterThan(10)
    for (const name of named) expect(known).toContain(name)
  })
})
