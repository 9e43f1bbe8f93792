import type { LiveState } from '../../../api.js'
import { tell } from '../../model/server.js'
import { useAction } from '../../parts/use-action.js'

/** The readout that is open: what its lines say, and how to let it go. */
export function OpenReadout({ live }: { live: LiveState }) {
  const { busy, run } = useAction()
  return (
    <div class="card">
      <p>Readout on {live.port}</p>
      {live.conclusions.length > 0 && (
        <details>
          <summary>Readout format</summary>
          <ul>
            {live.conclusions.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </details>
      )}
      <div class="buttons">
        <button
          type="button"
          class="small"
          disabled={busy}
          onClick={() => run(() => tell('live/disconnect', {}))}
        >
          Disconnect
        </button>
      </div>
    </div>
  )
}
