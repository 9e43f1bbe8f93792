import { useEffect, useState } from 'preact/hooks'
import type { HistoryAnswer } from '../../api.js'
import { ask } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Sheet } from '../parts/sheet.js'
import { when } from '../parts/words.js'

/** What was done to an axis, and how it stands with its tables. */
export function History() {
  const { axis, data } = usePage()
  const [history, setHistory] = useState<HistoryAnswer | null>(null)
  useEffect(() => {
    ask<HistoryAnswer>(`history?id=${axis.id}`)
      .then(setHistory)
      .catch(() => setHistory(null))
  }, [axis.id, data])
  return (
    <section>
      <h1>History of {axis.name}</h1>
      {history !== null && <Told history={history} />}
    </section>
  )
}

function Told({ history }: { history: HistoryAnswer }) {
  return (
    <>
      {history.state.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {history.chart !== null && <Sheet svg={history.chart} scrolls="Feed over the rechecks" />}
      {history.entries.length === 0 && <p>Nothing was done yet.</p>}
      <ul class="entries">
        {history.entries.map(({ at, text }, index) => (
          // Entries of one moment differ in their text, and the list only grows at its top.
          <li key={`${at} ${history.entries.length - index}`}>
            <time datetime={at}>{when(at)}</time> {text}
          </li>
        ))}
      </ul>
    </>
  )
}
