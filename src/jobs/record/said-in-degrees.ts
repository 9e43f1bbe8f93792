import type { RunJudgement } from '../../store/index.js'
import { saidOfTurningAxis } from '../../units/index.js'

/** A judgement in the words of an axis that turns: one run's judge does not know that it does. */
export function saidInDegrees({ rejection, warnings, ...judgement }: RunJudgement): RunJudgement {
  const said = <T extends { readonly message: string }>(one: T): T => ({
    ...one,
    message: saidOfTurningAxis(one.message),
  })
  return { ...judgement, rejection: rejection && said(rejection), warnings: warnings.map(said) }
}
