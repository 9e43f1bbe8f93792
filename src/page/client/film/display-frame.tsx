import { useRef } from 'preact/hooks'
import { TextField } from '../parts/text-field.js'

/** The frame around the digits of the display, in shares of the film's picture. */
export interface FrameShares {
  readonly left: number
  readonly top: number
  readonly right: number
  readonly bottom: number
}

/** Where a frame begins that is typed: in the middle of the picture. */
const IN_THE_MIDDLE: FrameShares = { left: 0.25, top: 0.4, right: 0.75, bottom: 0.6 }

/** Lies over the picture of the film: a finger or a mouse drags the frame. `FrameFields` does the same by keyboard. */
export function DisplayFrame({
  frame,
  onFrame,
}: {
  frame: FrameShares | null
  onFrame: (frame: FrameShares) => void
}) {
  const from = useRef<readonly [number, number]>([0, 0])
  const at = (event: PointerEvent): readonly [number, number] => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect()
    const share = (value: number): number => Math.min(1, Math.max(0, value))
    return [share((event.clientX - box.left) / box.width), share((event.clientY - box.top) / box.height)]
  }
  const drag = (event: PointerEvent): void => {
    const [x, y] = at(event)
    if (event.type === 'pointerdown') {
      ;(event.currentTarget as HTMLElement).setPointerCapture(event.pointerId)
      from.current = [x, y]
    }
    if (event.buttons === 0) return
    const [fromX, fromY] = from.current
    onFrame({
      left: Math.min(x, fromX),
      right: Math.max(x, fromX),
      top: Math.min(y, fromY),
      bottom: Math.max(y, fromY),
    })
  }
  const percent = (share: number): string => `${100 * share}%`
  return (
    <div class="drag-frame" onPointerDown={drag} onPointerMove={drag}>
      {frame !== null && (
        <div
          class="display-frame"
          style={{
            left: percent(frame.left),
            top: percent(frame.top),
            width: percent(frame.right - frame.left),
            height: percent(frame.bottom - frame.top),
          }}
        />
      )}
    </div>
  )
}

/** The sides of the frame as numbers, for who has no pointer. */
export function FrameFields({
  frame,
  onFrame,
}: {
  frame: FrameShares | null
  onFrame: (frame: FrameShares) => void
}) {
  const shown = frame ?? IN_THE_MIDDLE
  const sides = [
    ['left', 'Left side, % of the width'],
    ['right', 'Right side, % of the width'],
    ['top', 'Upper side, % of the height'],
    ['bottom', 'Lower side, % of the height'],
  ] as const
  return (
    <details>
      <summary>Set the frame by numbers</summary>
      <div class="fields">
        {sides.map(([side, label]) => (
          <TextField
            key={side}
            label={label}
            value={String(Math.round(1000 * shown[side]) / 10)}
            onText={(text) => {
              const share = Number(text) / 100
              if (share >= 0 && share <= 1) onFrame({ ...shown, [side]: share })
            }}
            numeric
          />
        ))}
      </div>
    </details>
  )
}
