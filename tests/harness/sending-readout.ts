import { onTestFinished } from 'vitest'
import { openPtyReadout } from './pty-readout.js'

/** A readout on a pseudo-terminal that sends without end what `lineAt` says; `moveMm` slides the axis. */
export function sendingReadout(lineAt: (positionMm: number, line: number) => string, intervalMs = 10) {
  const written: string[] = []
  const device = openPtyReadout({ onRequest: (text) => written.push(text) })
  let positionMm = 12
  let speedMmPerLine = 0
  let leftMm = 0
  let line = 0
  const timer = setInterval(() => {
    const stepMm = Math.min(Math.abs(leftMm), speedMmPerLine) * Math.sign(leftMm)
    positionMm += stepMm
    leftMm -= stepMm
    device.write(`${lineAt(positionMm, line)}\r\n`)
    line += 1
  }, intervalMs)
  onTestFinished(() => {
    clearInterval(timer)
    device.close()
  })
  return {
    path: device.path,
    written,
    /** Comes true once so many more lines were sent. */
    sent: async (lines: number) => {
      const enough = line + lines
      while (line < enough) await new Promise((resolve) => setImmediate(resolve))
    },
    moveMm: (lengthMm: number) => {
      leftMm = lengthMm
      speedMmPerLine = Math.abs(lengthMm) / 40
    },
  }
}
