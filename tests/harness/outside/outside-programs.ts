import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** Whether a program answers; tests that need one say what they skip, since not every machine has it. */
export function hasProgram(name: string): boolean {
  return spawnSync(name, ['--version'], { stdio: 'ignore' }).status === 0
}

/** Opens workbooks in LibreOffice without a screen, lets it calculate, and writes every sheet as `BOOK-SHEET.csv`. */
export function sheetsAsCsv(workbooks: readonly string[], folder: string): void {
  inOwnProfile('libreoffice', (profile) => {
    // Filter options: comma, quote, UTF-8, from line 1, cells as shown off, every sheet its own file.
    const filter = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,false,false,false,false,-1'
    execFileSync(
      'soffice',
      [
        `-env:UserInstallation=file://${profile}`,
        '--headless',
        '--convert-to',
        filter,
        '--outdir',
        folder,
        ...workbooks,
      ],
      { stdio: 'ignore', timeout: 240_000 },
    )
  })
}

/** Prints a page to PDF in Chromium without a screen. */
export function printedToPdf(url: string, pdf: string): void {
  inChromium(url, '--no-pdf-header-footer', `--print-to-pdf=${pdf}`)
}

/** The page as it stands in Chromium once it is loaded. */
export function shownInChromium(url: string): string {
  return inChromium(url, '--dump-dom')
}

function inChromium(url: string, ...flags: string[]): string {
  return inOwnProfile('chromium', (profile) => {
    const still = ['--headless', '--no-sandbox', '--disable-gpu', `--user-data-dir=${profile}`]
    return execFileSync('chromium', [...still, ...flags, url], {
      stdio: ['ignore', 'pipe', 'ignore'],
      encoding: 'utf8',
      timeout: 240_000,
    })
  })
}

function inOwnProfile<T>(name: string, work: (profile: string) => T): T {
  const profile = mkdtempSync(join(tmpdir(), `tablepace-${name}-`))
  try {
    return work(profile)
  } finally {
    rmSync(profile, { recursive: true, force: true, maxRetries: 5 })
  }
}
