import { describe, expect, it } from 'vitest'
import { notesOn } from '../../../src/cli/render/run-commands.js'

describe('notesOn(warnings)', () => {
  it('says each thing once, and puts the commands with what they are about', () => {
    expect(
      notesOn([
        { code: 'odd-run', message: 'One run is odd.', runIds: ['A'] },
        { code: 'out-of-order', message: 'Dials 4 and 6 are out of order.' },
        { code: 'odd-run', message: 'One run is odd.', runIds: ['A'] },
      ]),
    ).toEqual([
      {
        message: 'One run is odd.',
        commands: ['  Leave it out with: tablepace run drop A --reason "odd run"'],
      },
      { message: 'Dials 4 and 6 are out of order.', commands: [] },
    ])
  })

  it('names no more than three runs of a sheet that was read in twice', () => {
    const runs = ['A', 'B', 'C', 'D', 'E'].map((id) => ({
      code: 'read-twice',
      message: 'Twice.',
      runIds: [id],
    }))
    const [note, ...more] = notesOn(runs)
    expect(more).toEqual([])
    expect(note!.commands).toHaveLength(3)
    expect(note!.commands[0]).toContain('tablepace run keep A')
  })
})
