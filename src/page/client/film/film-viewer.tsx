import type { ComponentChildren } from 'preact'
import { useEffect, useRef, useState } from 'preact/hooks'
import { Notice } from '../parts/notice.js'
import { Film } from './film.js'

/** Steps through the film, s, beside those of one frame. */
const STEP_S = 1
/** How large the film is shown, as multiples of the width of the page: a display far off is read at four times. */
const SIZES = [1, 2, 4] as const

/** Opens a film from this device and steps through it. */
export function FilmViewer({
  film,
  isBusy,
  onOpen,
  children,
}: {
  film: Film | null
  /** It is read just now: nobody else moves it. */
  isBusy: boolean
  onOpen: (film: Film | null) => void
  /** What lies over the picture. */
  children: ComponentChildren
}) {
  const video = useRef<HTMLVideoElement>(null)
  const [state, setState] = useState<'none' | 'opening' | 'open' | 'unplayable'>('none')
  const [size, setSize] = useState(0)
  const open = async (file: File): Promise<void> => {
    film?.close()
    setState('opening')
    onOpen(null)
    try {
      onOpen(await Film.open(video.current!, file))
      setState('open')
    } catch {
      setState('unplayable')
    }
  }
  return (
    <>
      <label>
        Film
        <input
          type="file"
          accept="video/*"
          disabled={isBusy || state === 'opening'}
          onChange={(event) => {
            const file = event.currentTarget.files?.[0]
            if (file !== undefined) void open(file)
          }}
        />
      </label>
      {state === 'unplayable' && (
        <Notice kind="trouble">
          This browser cannot play that film. Open it on the phone that made it, or film again with the
          setting that your phone calls most compatible.
        </Notice>
      )}
      {state === 'opening' && <p role="status">Opening the film …</p>}
      <div hidden={state !== 'open' && state !== 'opening'}>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by the keyboard as well */}
        <section class="screen" aria-label="The film" tabIndex={0}>
          <div class="picture-of-film" style={{ width: `${100 * SIZES[size]!}%` }}>
            <video ref={video} muted playsInline preload="auto" aria-label="Picture of the film" />
            {children}
          </div>
        </section>
        {film !== null && <Steps film={film} isBusy={isBusy} />}
        <div class="buttons even">
          <button type="button" disabled={size === 0} onClick={() => setSize(size - 1)}>
            Smaller
          </button>
          <button type="button" disabled={size === SIZES.length - 1} onClick={() => setSize(size + 1)}>
            Larger
          </button>
        </div>
      </div>
    </>
  )
}

/** Where the film stands, and the keys that move it. */
function Steps({ film, isBusy }: { film: Film; isBusy: boolean }) {
  const [atS, isMoving, go] = useStepping(film, isBusy)
  const busy = isBusy || isMoving
  return (
    <>
      <p role="status" class="at">
        At {atS.toFixed(3)} s of {film.durationS.toFixed(1)} s
        {film.tellsFrames && `, ${(1 / film.frameS).toFixed(0)} frames a second`}
      </p>
      <input
        type="range"
        aria-label="Time in the film, s"
        min={0}
        max={film.durationS}
        step="any"
        disabled={isBusy}
        value={atS}
        onChange={(event) => {
          const toS = Number(event.currentTarget.value)
          go(() => film.seek(toS))
        }}
      />
      <div class="steps-of-film">
        <button type="button" disabled={busy} onClick={() => go(() => film.seek(film.atS - STEP_S))}>
          − 1 s
        </button>
        <button type="button" disabled={busy} onClick={() => go(() => film.step(-1))}>
          − 1 frame
        </button>
        <button type="button" disabled={busy} onClick={() => go(() => film.step(1))}>
          + 1 frame
        </button>
        <button type="button" disabled={busy} onClick={() => go(() => film.seek(film.atS + STEP_S))}>
          + 1 s
        </button>
      </div>
    </>
  )
}

/** The time that the film stands at, whether it is moving there, and how to move it: one step after the other. */
function useStepping(film: Film, isRead: boolean): [number, boolean, (move: () => Promise<void>) => void] {
  const [atS, setAtS] = useState(film.atS)
  const [busy, setBusy] = useState(false)
  // Who reads it leaves it somewhere else.
  useEffect(() => setAtS(film.atS), [film, isRead])
  const go = (move: () => Promise<void>): void => {
    if (busy) return
    setBusy(true)
    move()
      // A film whose file went away meanwhile stays where it is.
      .catch(() => {})
      .finally(() => {
        setAtS(film.atS)
        setBusy(false)
      })
  }
  return [atS, busy, go]
}
