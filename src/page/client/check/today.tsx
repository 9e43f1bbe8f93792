import type { RunSource } from '../../../store/index.js'
import { ReadoutRuns } from '../measure/readout/readout-runs.js'
import { StopwatchRuns } from '../measure/timed/stopwatch-runs.js'
import { useKept } from '../model/kept.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { SourceChoice } from '../parts/source-choice.js'
import { TodaySentence } from '../parts/today-sentence.js'
import { wayShown } from '../parts/way-words.js'

/** How the machine feeds today: a run or two at a mark tell it, and change no table. */
export function Today() {
  const { axis, data } = usePage()
  const usual: RunSource = data.runs[0]?.source ?? 'stopwatch'
  const [kept, setKept] = useKept<{ readonly source: RunSource }>('tablepace.check', { source: usual })
  return (
    <section class="measure">
      <h1>Check run of {axis.name}</h1>
      {data.tables.length === 0 ? (
        <Notice kind="note">There is no table to check yet.</Notice>
      ) : (
        <>
          <p>
            Run the setting that you will use, or a mark about as slow, in the direction you need. Where you
            need slow and fast ones, run one of each. These runs tell how the machine feeds today; the table
            stays.
          </p>
          {data.lookups.map(({ anyDay, today }) => (
            <TodaySentence
              key={anyDay.direction}
              today={today}
              before={`Direction ${wayShown(axis, anyDay.direction)}: `}
            />
          ))}
          <SourceChoice name="check-source" value={kept.source} onChange={(source) => setKept({ source })} />
          {kept.source === 'stopwatch' ? (
            <StopwatchRuns session={null} check />
          ) : (
            <ReadoutRuns work={{ kind: 'single', check: true }} />
          )}
        </>
      )}
    </section>
  )
}
