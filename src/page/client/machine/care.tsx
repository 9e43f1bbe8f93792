import { useState } from 'preact/hooks'
import type { DoctorAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'

const CHECKS = { store: 'Store', space: 'Disk', clock: 'Clock', port: 'Ports' } as const
const KINDS = { ok: 'good', look: 'note', bad: 'trouble' } as const

/** Whether everything that a measurement rests on is in order, and what to do where it is not. */
export function Care() {
  const { answer, trouble, reload } = useAnswer<DoctorAnswer>('doctor')
  return (
    <section>
      <h1>Is everything in order?</h1>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {answer === null && trouble === null && <p>Looking …</p>}
      {answer?.findings.map(({ check, state, finding, wayOut }) => (
        <Notice kind={KINDS[state]} key={finding}>
          <p>
            <strong>{CHECKS[check]}:</strong> {finding}
          </p>
          {wayOut !== null && <p>{wayOut}</p>}
        </Notice>
      ))}
      {answer?.brokenOff.map((axis) => (
        <BrokenOff key={axis.axisId} axis={axis} reload={reload} />
      ))}
      <div class="buttons">
        <button type="button" onClick={reload}>
          Look again
        </button>
      </div>
    </section>
  )
}

/** Recordings that were broken off before being judged, as when the computer went out. */
function BrokenOff({
  axis,
  reload,
}: {
  axis: DoctorAnswer['brokenOff'][number]
  reload: () => Promise<void>
}) {
  const [told, setTold] = useState<readonly string[]>([])
  const { busy, trouble, run } = useAction()
  const judge = (): Promise<boolean> =>
    run(async () => {
      const { runs, problems } = await tell('runs/finish', { axisId: axis.axisId })
      setTold([`${runs.length === 1 ? 'One run was' : `${runs.length} runs were`} found.`, ...problems])
      await reload()
    })
  return (
    <div class="card">
      <h2>{axis.name}</h2>
      <p>
        {axis.recordings === 1 ? 'One recording was' : `${axis.recordings} recordings were`} broken off before
        being judged.
      </p>
      <div class="buttons">
        <button type="button" disabled={busy} onClick={judge}>
          Judge what was saved
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {told.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  )
}
