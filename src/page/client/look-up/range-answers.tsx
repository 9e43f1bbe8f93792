import { MEASURED_SENTENCE } from '../../../planning/lookup/free-of-cut.js'
import type { Direction } from '../../../traverse/index.js'
import type { LengthUnit } from '../../../units/index.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { Answer, TodayAnswer, WorthOfCheckRun } from './answer.js'
import { type Asked, answersInRanges } from './look-up.js'

/**
 * What is answered: by the axis alone to a setting, and by every range of its dial that reaches it to a feed, the one
 * that knows it best first.
 */
export function RangeAnswers({
  question,
  unit,
  direction,
}: {
  question: Pick<Asked, 'by' | 'text'>
  unit: LengthUnit
  direction: Direction
}) {
  const { machine, axis, data } = usePage()
  const others = question.by === 'dial' ? [] : data.otherRanges
  const asked = [{ axisId: axis.id, lookups: data.lookups }, ...others].flatMap((range) => {
    const days = range.lookups.find((one) => one.anyDay.direction === direction)
    const of = machine.axes.find(({ id }) => id === range.axisId)
    return days === undefined || of === undefined ? [] : [{ axis: of, days }]
  })
  const { found, refusals } = answersInRanges(asked, question, unit)
  if (found.length === 0) {
    return refusals.map((message) => (
      <Notice kind="trouble" key={message}>
        {message}
      </Notice>
    ))
  }
  return (
    <>
      {found.map(({ axis: of, answer, days }) => (
        <div key={of.id}>
          {days.today && <TodayAnswer today={days.today} question={question} unit={unit} axis={of} />}
          <Answer
            found={answer}
            unit={unit}
            axis={of}
            isOtherToday={(days.today?.sentence ?? null) !== null}
          />
          <WorthOfCheckRun days={days} found={answer} />
        </div>
      ))}
      <p class="quiet">{MEASURED_SENTENCE}</p>
    </>
  )
}
