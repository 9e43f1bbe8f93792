import { useState } from 'preact/hooks'
import { feedUnit, formatFeed, formatLength, unitWord } from '../../../units/index.js'
import type { StopsAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Form } from '../parts/form.js'
import { Heads } from '../parts/heads.js'
import { Notice } from '../parts/notice.js'
import { Result } from '../parts/result.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { FormEnd } from './form-end.js'

/** Where the limit stop has to trip, from the coasts that runs by readout recorded. */
export function Stops() {
  const { axis, unit } = usePage()
  const [margin, setMargin] = useState('')
  const [answer, setAnswer] = useState<StopsAnswer | null>(null)
  const { busy, trouble, run } = useAction()
  const ask = (): Promise<boolean> =>
    run(async () => {
      setAnswer(null)
      setAnswer(await tell('stops', { axisId: axis.id, unit, margin }))
    })
  return (
    <section>
      <h1>Limit stop of {axis.name}</h1>
      <Form onSend={() => ask()}>
        <TextField
          label="Margin of your own"
          value={margin}
          onText={setMargin}
          hint={`in ${unitWord(unit)} or with its unit; may stay empty: then the least that a stop needs`}
          numeric
        />
        <FormEnd button="Work it out" disabled={busy} trouble={trouble} />
      </Form>
      {answer !== null && (
        <Result>
          <Notice kind="note">
            <ul>
              {answer.cautions.map((caution) => (
                <li key={caution}>{caution}</li>
              ))}
            </ul>
          </Notice>
          <p class="strong">{answer.answer}</p>
          {answer.why.map((sentence) => (
            <p key={sentence}>{sentence}</p>
          ))}
          <h2>What it holds for</h2>
          <ul>
            {answer.limits.map((limit) => (
              <li key={limit}>{limit}</li>
            ))}
          </ul>
          <table class="narrow">
            <caption>
              Coasts: feed in {feedUnit(unit)}, how many, their mean, and what the next stays below (95 %)
            </caption>
            <Heads names={['Setting', 'Feed', 'Coasts', 'Mean', 'Next below']} />
            <tbody>
              {answer.coasts.map((one) => (
                <tr key={one.setting}>
                  <th scope="row">{one.setting}</th>
                  <td>{formatFeed(one.feedMmPerMin, null, unit)}</td>
                  <td>{one.coasts}</td>
                  <td>{formatLength(one.meanMm, unit)}</td>
                  <td>{one.below}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </Result>
      )}
    </section>
  )
}
