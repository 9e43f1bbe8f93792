import type { ComponentChildren } from 'preact'
import type { Direction } from '../../../traverse/index.js'
import { usePage } from '../model/use-page.js'
import { Way } from './way.js'

/** What to set now, in the largest type of the screen. */
export function Instruction({
  dial,
  direction,
  turnAway,
  children,
}: {
  dial: string
  direction: Direction
  /** The dial has to be turned away first, so that the setting counts as a new one. */
  turnAway: boolean
  children?: ComponentChildren
}) {
  const { axis } = usePage()
  return (
    <div class="instruction">
      <p class="set">
        <span>
          Dial <strong>{dial}</strong>
        </span>{' '}
        <span>
          feed <Way axis={axis} direction={direction} />
        </span>
      </p>
      <p>
        {turnAway && 'Turn the dial away first, then set it. '}
        {children}
      </p>
    </div>
  )
}
