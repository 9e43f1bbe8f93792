import { useScreenOn } from '../model/screen-on.js'

/** Keeps the screen on while `wanted`; where the browser does not, it says so before it matters. */
export function ScreenNote({ wanted }: { wanted: boolean }) {
  if (useScreenOn(wanted) !== 'cannot') return null
  return (
    <p class="quiet">This browser cannot keep the screen on here; set a long screen timeout on the phone.</p>
  )
}
