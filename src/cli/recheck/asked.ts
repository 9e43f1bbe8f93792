import { UsageError } from '../../errors/index.js'
import { openRecheck } from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { parsePercent } from '../options.js'
import { say } from '../terminal/terminal.js'
import type { RecheckOptions } from './options.js'

/** What is asked, with what an open recheck says where the options do not. */
export interface Asked {
  readonly withinPercent: number
  readonly reason: string
}

/** The options, and an open recheck for what they leave out. @throws UsageError `option-missing`, `bad-percent` */
export function whatIsAsked(store: Store, { axis }: MachineAxis, options: RecheckOptions): Asked {
  const open = options.new ? null : openRecheck(store, axis, options.reason ?? null)
  const reason = options.reason?.trim() ?? open?.reason ?? (options.plan ? 'not said yet' : undefined)
  const withinPercent =
    options.within === undefined ? open?.withinPercent : parsePercent(options.within, '--within')
  if (reason === undefined || reason === '' || withinPercent === undefined) {
    throw new UsageError(
      'option-missing',
      `${reason ? 'How far a feed may have moved' : 'The reason for the recheck'} is not given.`,
      'Give it like --within 3 --reason "gibs adjusted"; only a recheck that was left undecided carries on without.',
    )
  }
  if (open !== null) {
    say(
      `Carrying on with the recheck "${open.reason}", which is not decided yet: ${open.runIds.length === 1 ? 'its 1 run counts' : `its ${open.runIds.length} runs count`} too. --new starts over.`,
    )
  }
  return { reason, withinPercent }
}
