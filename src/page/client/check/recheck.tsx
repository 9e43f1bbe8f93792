import { useState } from 'preact/hooks'
import { parseNumber } from '../../../units/index.js'
import { Session } from '../measure/measure.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Form } from '../parts/form.js'
import { Notice } from '../parts/notice.js'
import { SourceChoice } from '../parts/source-choice.js'
import { useAction } from '../parts/use-action.js'
import { StandingVerdict } from './verdict.js'

/** Does the table still hold? The verdict that stands, and a guided recheck. */
export function Recheck() {
  const { data, axis } = usePage()
  if (data.session?.recheck) return <Session session={data.session} />
  return (
    <section>
      <h1>Recheck of {axis.name}</h1>
      {data.tables.length === 0 ? (
        <Notice kind="note">There is no table to recheck yet.</Notice>
      ) : (
        <>
          <StandingVerdict />
          <BeginRecheck />
        </>
      )}
    </section>
  )
}

function BeginRecheck() {
  const { axis, data } = usePage()
  const [within, setWithin] = useState('3')
  const [reason, setReason] = useState('')
  const [source, setSource] = useState<'readout' | 'stopwatch'>(data.runs[0]?.source ?? 'readout')
  const { busy, trouble, run } = useAction()
  const begin = (): Promise<boolean> =>
    run(async () => {
      const withinPercent = parseNumber(within, 'How far a feed may have moved')
      await tell('recheck/begin', { axisId: axis.id, withinPercent, reason, source })
    })
  return (
    <Form onSend={() => begin()}>
      <label>
        What was done to the machine
        <input
          value={reason}
          required
          placeholder="gibs adjusted"
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
      <label>
        How far a feed may have moved, either way, %
        <input value={within} inputMode="decimal" onInput={(event) => setWithin(event.currentTarget.value)} />
      </label>
      <SourceChoice name="recheck-source" value={source} onChange={setSource} />
      <div class="buttons">
        <button type="submit" class="main huge" disabled={busy}>
          Plan the runs
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </Form>
  )
}
