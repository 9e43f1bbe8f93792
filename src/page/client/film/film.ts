/** Time from frame to frame where the browser does not tell, s: 30 a second, as phones film (common practice, no source). */
const USUAL_FRAME_S = 1 / 30
/** Frames that are played to learn their interval. Judgement: enough that one that is dropped does not matter. */
const LEARNS_FROM = 12
/**
 * Longest that is waited for a frame to be shown, ms. Judgement: a seek to the frame that is shown already shows none
 * anew, and a phone takes a tenth of a second for a new one.
 */
const SHOWN_WITHIN_MS = 400
/** Beyond the end of every film, s: a film that does not say its length is looked through for it. */
const PAST_THE_END_S = 1e7

/**
 * Time from frame to frame, in usual ones, above which one was left out. Derived: a frame that was left out makes a step of
 * two; a phone that goes from 30 frames a second to 24 or 20 in the dark makes one of 1.25 or 1.5.
 */
const MISSED = 1.75
/** From the start of a frame into the middle of the next one, in usual frames. Derived. */
const INTO_THE_NEXT = 1.5
/** Frames left out after which a film is played at half the speed. Judgement: one or two are left out at every start. */
const MOST_MISSED = 4
/** Slowest playing, as a share of the usual speed. Judgement: what is left out then is got one by one. */
const SLOWEST = 0.25
/** Longest frame, in usual ones. Judgement: in the dark a phone films a third as fast. */
const LONGEST_FRAME = 3
/** Frames looked for in vain one after the other after which no more are looked for. Judgement. */
const MOST_IN_VAIN = 12

/** A film from this device, played in a `<video>` of the page; it is sent nowhere. */
export class Film {
  readonly video: HTMLVideoElement
  /** From frame to frame, s. */
  frameS = USUAL_FRAME_S
  /** The browser tells when a frame belongs; else its time is known to a frame. */
  readonly tellsFrames: boolean
  #atS = 0

  private constructor(video: HTMLVideoElement) {
    this.video = video
    this.tellsFrames = 'requestVideoFrameCallback' in video
  }

  /** Opens a film and shows its first frame. @throws Error where this browser cannot play it */
  static async open(video: HTMLVideoElement, file: Blob): Promise<Film> {
    const film = new Film(video)
    const ready = once(video, 'loadeddata')
    video.src = URL.createObjectURL(file)
    await ready
    if (!Number.isFinite(video.duration)) await film.seek(PAST_THE_END_S)
    await film.#learnFrames()
    await film.seek(0)
    return film
  }

  get durationS(): number {
    return this.video.duration
  }

  /** Time of the frame that is shown, s. */
  get atS(): number {
    return this.#atS
  }

  /** Shows the frame of that time. */
  async seek(toS: number): Promise<void> {
    const { video } = this
    const shown = this.#shown()
    const sought = once(video, 'seeked')
    const end = Number.isFinite(video.duration) ? video.duration : PAST_THE_END_S
    video.currentTime = Math.min(Math.max(0, toS), end)
    await sought
    const still = Math.abs(video.currentTime - this.#atS) < this.frameS
    this.#atS = (await shown) ?? (still ? this.#atS : video.currentTime)
  }

  /** Goes on by so many frames, or back. */
  async step(frames: number): Promise<void> {
    const fromS = this.#atS
    // Into the middle of the frame, so that rounding never shows its neighbour; further where a phone filmed slower just then.
    for (let more = 0; more < LONGEST_FRAME; more += 1) {
      await this.seek(fromS + (frames + 0.5 + more) * this.frameS)
      if (frames < 0 || !this.tellsFrames || this.#atS !== fromS || this.#atS >= this.durationS - this.frameS)
        return
    }
  }

  /**
   * Goes through the film from its start and calls back at every frame, not quite in order of time: where the browser
   * tells the time of a frame it plays, and then goes back for the frames that it left out; else it goes from frame to
   * frame.
   *
   * @returns when the film was gone through or `signal` says so
   */
  async goThrough(onFrame: (timeS: number) => void, signal: AbortSignal): Promise<void> {
    await this.seek(0)
    if (this.tellsFrames) {
      const times = [this.#atS]
      onFrame(this.#atS)
      await this.play((timeS) => {
        times.push(timeS)
        onFrame(timeS)
      }, signal)
      return await this.#goBack([...times, this.durationS], onFrame, signal)
    }
    for (let atS = 0; atS < this.durationS && !signal.aborted; atS += this.frameS) {
      await this.seek(atS + this.frameS / 2)
      onFrame(atS)
    }
  }

  /**
   * Plays the film, without sound, and calls back at every frame that the browser shows; slower where it leaves out many.
   *
   * @returns when the film ends or `signal` says so
   */
  async play(onFrame: (timeS: number) => void, signal: AbortSignal): Promise<void> {
    const { video } = this
    let waiting = 0
    let lastS = Number.POSITIVE_INFINITY
    let missed = 0
    const next = (_: number, { mediaTime }: VideoFrameCallbackMetadata): void => {
      if (mediaTime - lastS > MISSED * this.frameS) missed += 1
      lastS = mediaTime
      if (missed > MOST_MISSED && video.playbackRate > SLOWEST) {
        missed = 0
        video.playbackRate /= 2
      }
      onFrame(mediaTime)
      waiting = video.requestVideoFrameCallback(next)
    }
    waiting = video.requestVideoFrameCallback(next)
    const over = new Promise<void>((resolve) => {
      video.addEventListener('ended', () => resolve(), { once: true })
      signal.addEventListener('abort', () => resolve(), { once: true })
      if (signal.aborted) resolve()
    })
    video.muted = true
    try {
      await Promise.all([video.play(), over])
    } finally {
      video.cancelVideoFrameCallback(waiting)
      video.pause()
      video.playbackRate = 1
      this.#atS = video.currentTime
    }
  }

  close(): void {
    this.video.pause()
    URL.revokeObjectURL(this.video.src)
    this.video.removeAttribute('src')
    this.video.load()
  }

  /** Shows the frames that lie between those of `times`, in order of time. */
  async #goBack(
    times: readonly number[],
    onFrame: (timeS: number) => void,
    signal: AbortSignal,
  ): Promise<void> {
    let inVain = 0
    for (const [index, nextS] of times.slice(1).entries()) {
      for (let atS = times[index]!; nextS - atS > MISSED * this.frameS; atS += this.frameS) {
        // A camera that takes fewer frames in the dark left them out itself.
        if (signal.aborted || inVain >= MOST_IN_VAIN) return
        await this.seek(atS + INTO_THE_NEXT * this.frameS)
        const isNew = this.#atS > atS + this.frameS / 2 && this.#atS < nextS - this.frameS / 2
        inVain = isNew ? 0 : inVain + 1
        if (!isNew) continue
        onFrame(this.#atS)
      }
    }
  }

  async #learnFrames(): Promise<void> {
    if (!this.tellsFrames) return
    await this.seek(0)
    const times: number[] = []
    const enough = new AbortController()
    await this.play((timeS) => {
      times.push(timeS)
      if (times.length > LEARNS_FROM) enough.abort()
    }, enough.signal).catch(() => {
      // A browser that does not play by itself still goes from frame to frame; the usual interval stands.
    })
    const steps = times.slice(1).map((timeS, index) => timeS - times[index]!)
    // A frame that was dropped makes a step of two; the usual step is the one in the middle of the shorter half.
    const sorted = steps.filter((step) => step > 0).toSorted((a, b) => a - b)
    this.frameS = sorted[Math.floor(sorted.length / 4)] ?? USUAL_FRAME_S
  }

  /** When the next frame that is shown belongs, s; null where none comes or the browser does not tell. */
  #shown(): Promise<number | null> {
    const { video } = this
    if (!this.tellsFrames) return Promise.resolve(null)
    return new Promise((resolve) => {
      const waiting = video.requestVideoFrameCallback((_, { mediaTime }) => resolve(mediaTime))
      video.addEventListener(
        'seeked',
        () =>
          setTimeout(() => {
            video.cancelVideoFrameCallback(waiting)
            resolve(null)
          }, SHOWN_WITHIN_MS),
        { once: true },
      )
    })
  }
}

/** Waits for an event of the film. @throws Error where it fails instead */
function once(video: HTMLVideoElement, name: string): Promise<void> {
  return new Promise((resolve, reject) => {
    video.addEventListener(name, () => resolve(), { once: true })
    video.addEventListener('error', () => reject(new Error('the film cannot be played')), { once: true })
  })
}
