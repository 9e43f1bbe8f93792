import { useEffect, useState } from 'preact/hooks'

/**
 * Keeps the screen on while `wanted`, where the browser allows it: only at addresses it trusts, which one in the local
 * network is not.
 */
export function useScreenOn(wanted: boolean): 'on' | 'cannot' | 'off' {
  const [state, setState] = useState<'on' | 'cannot' | 'off'>('off')
  const isOffered = 'wakeLock' in navigator
  useEffect(() => {
    if (!wanted || !isOffered) return
    let lock: WakeLockSentinel | null = null
    let over = false
    const ask = async (): Promise<void> => {
      if (document.visibilityState !== 'visible') return
      try {
        lock = await navigator.wakeLock.request('screen')
        if (over) await lock.release()
        else setState('on')
      } catch {
        setState('cannot')
      }
    }
    void ask()
    // The lock is lost whenever the page is hidden.
    document.addEventListener('visibilitychange', ask)
    return () => {
      over = true
      document.removeEventListener('visibilitychange', ask)
      void lock?.release()
      setState('off')
    }
  }, [wanted, isOffered])
  // Known before anything is timed, and of use then.
  return isOffered ? state : 'cannot'
}
