import { tell } from '../../model/server.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'
import { BringIn } from '../files.js'
import { MachineForm } from './machine-form.js'

/** What a person sees who has no machine in the store yet. */
export function FirstStart({ onAdded }: { onAdded: (axisId: number) => void }) {
  const { busy, trouble, run } = useAction()
  const simulate = (): Promise<boolean> =>
    run(async () => onAdded((await tell('machine/simulate', {})).axisId))
  return (
    <main class="first-start">
      <h1>What does your feed dial really do?</h1>
      <p>
        Enter the machine and the axis with the power feed. Then this page leads you through timing the table
        at each mark, and tells which dial setting gives which feed.
      </p>
      <MachineForm onAdded={onAdded} />
      <div class="card">
        <h2>Only looking?</h2>
        <p>
          A made-up mill comes with its runs and its table. Nothing moves; retire it when you have seen
          enough.
        </p>
        <div class="buttons">
          <button type="button" disabled={busy} onClick={simulate}>
            {busy ? 'Running it …' : 'Try it on a simulated mill'}
          </button>
        </div>
        {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      </div>
      <BringIn title="On another computer before?" />
    </main>
  )
}
