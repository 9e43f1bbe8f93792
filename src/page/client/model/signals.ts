const KEPT_AS = 'tablepace.signals'

/**
 * What a person whose eyes are on the machine has to hear: pressed, a run is done, a run does not count, turn the knob,
 * stop the feed.
 */
type Signal = 'press' | 'done' | 'trouble' | 'turn' | 'stop'

/** Tones of each signal, Hz one after the other, and how the phone shakes, ms on and off: judgement, by ear. */
const TONES: Readonly<Record<Signal, { readonly hz: readonly number[]; readonly shake: number[] }>> = {
  press: { hz: [880], shake: [30] },
  done: { hz: [660, 880], shake: [80, 60, 80] },
  turn: { hz: [880, 1320], shake: [150, 80, 150] },
  stop: { hz: [990, 990, 990, 990, 990], shake: [600, 150, 600] },
  trouble: { hz: [330, 220, 330], shake: [300, 100, 300] },
}
/** Length of a tone, s: judgement, by ear. */
const TONE_S = 0.14

let context: AudioContext | null = null

/** A browser lets a page sound only after it was touched, so the first touch opens the way. */
addEventListener('pointerdown', () => {
  if (!areSignalsOn()) return
  context ??= 'AudioContext' in window ? new AudioContext() : null
  if (context?.state === 'suspended') void context.resume()
})

export function areSignalsOn(): boolean {
  return localStorage.getItem(KEPT_AS) !== 'off'
}

export function switchSignals(on: boolean): void {
  localStorage.setItem(KEPT_AS, on ? 'on' : 'off')
}

/** Sounds and shakes, where that is switched on and the device can. */
export function giveSignal(signal: Signal): void {
  if (!areSignalsOn()) return
  const { hz, shake } = TONES[signal]
  // Some devices have no motor and say so by throwing nothing and doing nothing.
  navigator.vibrate?.(shake)
  if (context === null || context.state !== 'running') return
  for (const [index, frequency] of hz.entries()) {
    const at = context.currentTime + index * TONE_S
    const tone = context.createOscillator()
    const loudness = context.createGain()
    tone.frequency.value = frequency
    // Rising and falling softly: a tone cut off clicks.
    loudness.gain.setValueAtTime(0, at)
    loudness.gain.linearRampToValueAtTime(0.3, at + 0.02)
    loudness.gain.linearRampToValueAtTime(0, at + TONE_S)
    tone.connect(loudness).connect(context.destination)
    tone.start(at)
    tone.stop(at + TONE_S)
  }
}
