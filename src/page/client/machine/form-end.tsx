import type { ComponentChildren } from 'preact'
import { Notice } from '../parts/notice.js'

/**
 * The end of a form: the button that sends it, other buttons beside that, and below them what stood in the way.
 *
 * @param trouble in a sentence; null where there was none
 */
export function FormEnd({
  button,
  disabled,
  trouble,
  children,
}: {
  button: string
  disabled: boolean
  trouble: string | null
  children?: ComponentChildren
}) {
  return (
    <>
      <div class="buttons">
        <button type="submit" class="main" disabled={disabled}>
          {button}
        </button>
        {children}
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
