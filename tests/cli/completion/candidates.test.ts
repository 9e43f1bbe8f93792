import { describe, expect, it } from 'vitest'
import { candidates } from '../../../src/cli/completion/index.js'
import { buildProgram } from '../../../src/cli/program.js'

const NAMES = { machines: () => ['Bench', 'Old mill'], axes: () => ['X', 'Y'] }

/** What is offered at the cursor, which stands at the end of the last word. */
function offered(...words: string[]): string[] {
  return candidates(buildProgram(), words.slice(0, -1), words.at(-1) ?? '', NAMES)
}

describe('candidates(program, before, partial, names)', () => {
  it('offers commands, their subcommands and nothing hidden', () => {
    expect(offered('tr')).toEqual(['traverse'])
    expect(offered('ex')).toEqual(['explain', 'export'])
    expect(offered('')).not.toContain('complete')
    expect(offered('readout', 'po')).toEqual(['ports'])
    expect(offered('machine', 'a')).toEqual(['add'])
  })

  it('offers the options of the command and of the program', () => {
    expect(offered('export', '--f')).toEqual(['--force', '--format'])
    expect(offered('export', '--')).toEqual(
      expect.arrayContaining(['--format', '--json', '--machine', '--store', '--to']),
    )
    expect(offered('--js')).toEqual(['--json'])
  })

  it('offers the values an option takes, also after an equals sign', () => {
    expect(offered('export', '--format', 'c')).toEqual(['card', 'csv'])
    expect(offered('export', '--format=c')).toEqual(['--format=card', '--format=csv'])
    expect(offered('dial', '7in/min', '--machine', 'O')).toEqual(['Old mill'])
    expect(offered('dial', '--machine', 'Bench', '--axis', '')).toEqual(['X', 'Y'])
    expect(offered('completion', 'p')).toEqual(['powershell'])
  })

  it('offers nothing where a file or a free value belongs', () => {
    expect(offered('traverse', '--from', '')).toEqual([])
    expect(offered('export', '--format', 'csv', '--to', 'x')).toEqual([])
    expect(offered('dial', '')).toEqual([])
    expect(offered('nonsense', '')).toEqual([])
    expect(offered('export', '--nonsense=', '')).toEqual([])
  })
})
