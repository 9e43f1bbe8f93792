import { useState } from 'preact/hooks'
import type { MachinesAnswer } from '../../../machine-api.js'
import { tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { useAnswer } from '../../parts/use-answer.js'
import { BringBack } from './bring-back.js'
import type { Open } from './editing.js'
import { MachineCard } from './machine-card.js'
import { MachineForm } from './machine-form.js'

/** All machines with their axes: add, change, retire and bring back. */
export function Machines() {
  const { start, choose } = usePage()
  const { answer, trouble, reload } = useAnswer<MachinesAnswer>('machines', start)
  const [open, setOpen] = useState<Open | null>(null)
  const leave = (): void => setOpen(null)
  const machines = answer?.machines ?? []
  const retired = machines.filter((machine) => machine.removedAt !== null)
  return (
    <section>
      <h1>Machines and axes</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {machines
        .filter((machine) => machine.removedAt === null)
        .map((machine) => (
          <MachineCard key={machine.id} {...{ machine, open, setOpen, leave, reload }} />
        ))}
      {open?.kind === 'new-machine' ? (
        <>
          <MachineForm
            onAdded={(axisId) => {
              choose(axisId)
              leave()
              void reload()
            }}
          />
          <div class="buttons">
            <button type="button" onClick={leave}>
              Cancel
            </button>
          </div>
        </>
      ) : (
        <div class="buttons">
          <button type="button" onClick={() => setOpen({ kind: 'new-machine' })}>
            Add a machine
          </button>
        </div>
      )}
      {retired.length > 0 && (
        <>
          <h2>Retired</h2>
          <ul class="plain">
            {retired.map((machine) => (
              <li key={machine.id}>
                {machine.name}
                <BringBack
                  name={machine.name}
                  work={() => tell('machine/bring-back', { machineId: machine.id })}
                  reload={reload}
                />
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  )
}
