import { useEffect, useRef, useState } from 'preact/hooks'
import {
  MISSED_S,
  numberAt,
  type PracticeMovement,
  passesAtS,
  SLIP_S,
} from '../../../planning/practice/practice-plan.js'
import type { PracticeRound } from '../../../regression/index.js'
import { PressButton } from '../measure/timed/press-button.js'
import { phoneNowS, phoneTimeS } from '../model/phone-clock.js'

/** One movement: a number that runs past two marks, and the button to press as it passes each. */
export function PracticeMovementView({
  movement,
  onDone,
}: {
  movement: PracticeMovement
  /** How late both presses were; null for a slip or a mark that was missed. */
  onDone: (round: PracticeRound | null) => void
}) {
  const [begunS] = useState(phoneNowS)
  const [startLateS, setStartLateS] = useState<number | null>(null)
  const shown = useRef<HTMLParagraphElement>(null)
  const mark = startLateS === null ? movement.startMark : movement.stopMark
  const passesS = begunS + passesAtS(movement, mark)
  useEffect(() => {
    let frame = 0
    const draw = (): void => {
      const nowS = phoneNowS()
      if (shown.current) shown.current.textContent = numberAt(movement, nowS - begunS).toFixed(3)
      if (nowS > passesS + MISSED_S) onDone(null)
      else frame = requestAnimationFrame(draw)
    }
    draw()
    return () => cancelAnimationFrame(frame)
  }, [movement, begunS, passesS, onDone])
  const press = (event: Event): void => {
    const lateS = phoneTimeS(event) - passesS
    if (Math.abs(lateS) > SLIP_S) onDone(null)
    else if (startLateS === null) setStartLateS(lateS)
    else onDone({ startLateS, stopLateS: lateS })
  }
  return (
    <>
      <p>
        Press at <strong>{movement.startMark.toFixed(3)}</strong> and at{' '}
        <strong>{movement.stopMark.toFixed(3)}</strong>.
      </p>
      <p class="running" ref={shown} aria-live="off" />
      <div class="buttons">
        <PressButton className="main huge" spent={false} onPress={press}>
          Press at {mark.toFixed(3)}
        </PressButton>
      </div>
    </>
  )
}
