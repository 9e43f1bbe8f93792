import { execFileSync, spawnSync } from 'node:child_process'
import { chmodSync, writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { describe, expect, it } from 'vitest'
import { hasProgram } from '../../harness/outside/outside-programs.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** A folder with a command `tablepace`, as an installation leaves it on the PATH, and a store with one machine. */
async function installed() {
  const folder = temporaryFolder()
  const command = join(folder, 'tablepace')
  writeFileSync(command, `#!/bin/sh\nexec "${process.execPath}" "${resolve('dist/tablepace.js')}" "$@"\n`)
  chmodSync(command, 0o755)
  const store = join(folder, 'store.db')
  await programOn(store).json('machine', 'add', 'Old mill', '--units', 'in')
  const env = { ...process.env, PATH: `${folder}:${process.env.PATH}`, TABLEPACE_STORE: store, HOME: folder }
  // Without input, which would make bash read the start-up file of a shell from afar.
  return (shell: string, script: string) =>
    execFileSync(shell, ['-c', script], { env, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] })
}

describe('completion SHELL', () => {
  it('makes bash complete commands, options, choices and names with spaces', async () => {
    const run = await installed()
    const asked = [
      ['trav'],
      ['export', '--format', 'x'],
      ['dial', '--machine', 'O'],
      ['dial', '--machine', 'Old\\ '],
      ['traverse', '--from', ''],
    ]
    // In one shell, as a person has it: the script is made once.
    const completed = run(
      'bash',
      `source <(tablepace completion bash)
      ${asked
        .map(
          (
            words,
          ) => `COMP_WORDS=(tablepace ${words.map((word) => `'${word}'`).join(' ')}); COMP_CWORD=${words.length}
        COMPREPLY=(); _tablepace_complete; printf '%s,' "\${COMPREPLY[@]}"; echo`,
        )
        .join('\n')}`,
    )
    expect(completed.trim().split('\n')).toEqual(['traverse,', 'xlsx,', 'Old\\ mill,', 'Old\\ mill,', ','])
  })

  it.skipIf(!hasProgram('fish'))('makes fish complete', async () => {
    const run = await installed()
    const completed = (line: string) =>
      run('fish', `tablepace completion fish | source; complete -C '${line}'`).trim()
    expect(completed('tablepace export --format x')).toBe('xlsx')
    expect(completed('tablepace dial --machine O')).toBe('Old mill')
  })

  it.skipIf(!hasProgram('zsh'))('gives zsh a script that it can read', async () => {
    const run = await installed()
    expect(
      run(
        'zsh',
        'tablepace completion zsh > "$HOME/completion.zsh"; zsh -n "$HOME/completion.zsh" && echo read',
      ).trim(),
    ).toBe('read')
  })

  it('knows no other shell', () => {
    const { status, stderr } = spawnSync(process.execPath, ['dist/tablepace.js', 'completion', 'tcsh'], {
      encoding: 'utf8',
    })
    expect([status, stderr]).toEqual([2, expect.stringMatching(/bash, zsh, fish, powershell/)])
  })
})
