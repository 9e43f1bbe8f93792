import type { ReadoutsAnswer } from '../../../readout-api.js'
import { Notice } from '../../parts/notice.js'
import { useAnswer } from '../../parts/use-answer.js'
import { Learn } from './learn.js'
import { Watch } from './watch.js'

const ACCESS: Readonly<Record<string, string>> = {
  connected: 'connected: this page follows it',
  free: 'may be used',
  busy: 'in use',
  denied: 'may not be opened',
  unknown: 'not known whether it may be used',
}

/** The readout: on which port it is, what it sends now, and learning to read one. */
export function Readout() {
  const { answer, trouble, reload } = useAnswer<ReadoutsAnswer>('readouts')
  return (
    <section>
      <h1>Readout</h1>
      <Watch />
      <h2>Ports of the computer</h2>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
      {answer?.ports.length === 0 && (
        <p>No serial port was found. Plug the cable of the readout in and look again.</p>
      )}
      <ul class="all-runs">
        {answer?.ports.map(({ path, description, access, advice }) => (
          <li key={path}>
            <p>
              <strong>{path}</strong> {description}
            </p>
            <p>{ACCESS[access] ?? access}</p>
            {advice !== null && <p>{advice}</p>}
          </li>
        ))}
      </ul>
      <div class="buttons">
        <button type="button" onClick={reload}>
          Look for ports again
        </button>
      </div>
      {answer !== null && <Learn readouts={answer} onSaved={reload} />}
    </section>
  )
}
