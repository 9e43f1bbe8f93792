import { useEffect, useState } from 'preact/hooks'
import { feedUnit, formatDial, formatFeed } from '../../../units/index.js'
import type { RecheckAnswer, VerdictAnswer } from '../../api.js'
import { ask, tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Heads } from '../parts/heads.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import { wayShown } from '../parts/way-words.js'

/** The newest verdict on the tables in force. The program keeps it, so that every page shows it, also after a reload. */
export function StandingVerdict() {
  const { axis, data } = usePage()
  const [answer, setAnswer] = useState<VerdictAnswer | null>(null)
  useEffect(() => {
    let over = false
    ask<VerdictAnswer>(`verdict?id=${axis.id}`)
      .then((found) => {
        if (!over) setAnswer(found)
      })
      .catch(() => {})
    return () => {
      over = true
    }
  }, [axis.id, data])
  return answer === null || answer.verdict === null ? null : <Verdict answer={answer.verdict} />
}

function Verdict({ answer }: { answer: RecheckAnswer }) {
  const { unit, axis, refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const kind = ({ holds: 'good', moved: 'trouble', undecided: 'note' } as const)[answer.verdict]
  const goOn = (): Promise<boolean> =>
    run(async () => {
      const { withinPercent, reason, source } = answer
      await tell('recheck/begin', { axisId: axis.id, withinPercent, reason, source })
    })
  const adopt = (): Promise<boolean> =>
    run(async () => {
      await tell('recheck/adopt', { axisId: axis.id })
      await refresh()
      location.hash = '#/look-up'
    })
  return (
    <div class="card">
      <Notice kind={kind}>
        <p class="strong">{answer.headline}</p>
        <p>{answer.reason}</p>
      </Notice>
      <div class="buttons">
        {answer.goOn && (
          <button type="button" class="main" disabled={busy} onClick={goOn}>
            Make these runs by {answer.source}
          </button>
        )}
        {answer.change !== null && (
          <button type="button" class="main" disabled={busy} onClick={adopt}>
            Make a new table: {answer.change}
          </button>
        )}
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      <table class="verdict">
        <caption>Feeds of the table and now, {feedUnit(unit)}</caption>
        <Heads names={['Dial', 'Table', 'Now', 'Verdict']} />
        <tbody>
          {answer.marks.map((mark) => (
            <tr key={`${mark.dial} ${mark.direction}`}>
              <th scope="row">
                {formatDial(mark.dial, axis)} {wayShown(axis, mark.direction)}
              </th>
              <td>{formatFeed(mark.thenMmPerMin, null, unit)}</td>
              <td>{formatFeed(mark.nowMmPerMin, null, unit)}</td>
              <td>
                {mark.verdict}
                <small>{mark.difference}</small>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {answer.sentences.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
    </div>
  )
}
