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

/** A sound that could not begin within this, ms, is left out, as what it says may no longer be so: judgement. */
const TOO_LATE_MS = 500

let context: AudioContext | null = null
/** Whether the browser has let it run once; from then on it may run at any time. */
let isLet = false
/** Signals that are about to sound or sound now. */
let sounding = 0

// A browser lets a page sound only after it was touched, so the first touch opens the way. From then on the audio runs
// only while something sounds, because it takes a phone's battery. The press of a stopwatch makes no click.
for (const touch of ['pointerup', 'click']) addEventListener(touch, openTheWay, { capture: true })

function openTheWay(): void {
  if (isLet || !areSignalsOn() || !('AudioContext' in window)) return
  context ??= new AudioContext()
  void context.resume().then(() => {
    isLet = true
    rest()
  })
}

function rest(): void {
  if (sounding === 0) void context?.suspend()
}

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
  if (context !== null) void sound(context, hz)
}

/** Plays the tones, Hz, one after the other. */
async function sound(audio: AudioContext, tonesHz: readonly number[]): Promise<void> {
  sounding += 1
  const askedMs = performance.now()
  await audio.resume()
  const playing =
    performance.now() - askedMs > TOO_LATE_MS ? [] : tonesHz.map((hz, index) => play(audio, hz, index))
  await Promise.all(playing)
  sounding -= 1
  rest()
}

/** Plays one tone after the `index` before it; resolves when it is over. */
function play(audio: AudioContext, hz: number, index: number): Promise<unknown> {
  const at = audio.currentTime + index * TONE_S
  const tone = audio.createOscillator()
  const loudness = audio.createGain()
  tone.frequency.value = hz
  // Rising and falling softly: a tone cut off clicks.
  loudness.gain.setValueAtTime(0, at)
  loudness.gain.linearRampToValueAtTime(0.3, at + 0.02)
  loudness.gain.linearRampToValueAtTime(0, at + TONE_S)
  tone.connect(loudness).connect(audio.destination)
  tone.start(at)
  tone.stop(at + TONE_S)
  return new Promise((done) => tone.addEventListener('ended', done))
}
