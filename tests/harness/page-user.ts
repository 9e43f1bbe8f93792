import { setTimeout as sleep } from 'node:timers/promises'
import type { Browser, Locator, Page } from 'playwright-core'
import { expect } from 'vitest'
import { LAPTOP, openPage, PHONE } from './browser.js'

/** The sizes that everything has to be done at. */
const SIZES = { phone: PHONE, laptop: LAPTOP } as const

/** The table that is timed in tests, in/s. It moves evenly, whatever holds up the test or the program between two presses. */
export const FEED_IN_PER_S = 3

/** A person before the page, who taps on a phone and clicks on a laptop; how often is counted. */
export class PageUser {
  readonly page: Page
  /** Taps and clicks so far. */
  taps = 0
  readonly #hasTouch: boolean

  private constructor(page: Page, hasTouch: boolean) {
    this.page = page
    this.#hasTouch = hasTouch
  }

  static async open(browser: Browser, size: keyof typeof SIZES, url: string): Promise<PageUser> {
    return new PageUser(await openPage(browser, SIZES[size], url), size === 'phone')
  }

  async press(what: Locator): Promise<void> {
    this.taps += 1
    await (this.#hasTouch ? what.tap() : what.click())
  }

  button(name: string | RegExp): Promise<void> {
    return this.press(this.page.getByRole('button', { name }))
  }

  link(name: string): Promise<void> {
    return this.press(this.page.getByRole('link', { name }))
  }

  goTo(place: string): Promise<void> {
    return this.press(
      this.page.getByRole('navigation', { name: 'Places' }).getByRole('link', { name: place }),
    )
  }

  fill(label: string | RegExp, text: string): Promise<void> {
    return this.page.getByLabel(label, { exact: true }).fill(text)
  }

  /** Start and stop of the stopwatch. The pause is longer than a thumb that bounces. */
  async startAndStop(): Promise<void> {
    await this.button(/^Start/)
    await sleep(200)
    await this.button(/^Stop(?!ped)/)
  }

  /** Keeps a timing. The lines lie where the table was at the presses, so that the runs agree. */
  async keep(): Promise<void> {
    const seconds = await this.page.evaluate(() => {
      const { localStorage } = globalThis as unknown as { localStorage: { getItem: (key: string) => string } }
      const { presses } = JSON.parse(localStorage.getItem('tablepace.presses'))
      return presses.at(-1).timeS - presses[0].timeS
    })
    await this.page.getByLabel('Distance between the lines').fill((seconds * FEED_IN_PER_S).toFixed(3))
    await this.button(/^Keep/)
  }

  async timeOnce(): Promise<void> {
    await this.startAndStop()
    await this.keep()
  }

  /** Opens the card and prints it, on one sheet. */
  async printCard(): Promise<void> {
    await this.link('Card')
    await this.page.getByRole('button', { name: 'Print on one sheet' }).waitFor()
    const pdf = await this.page.pdf({ format: 'A4' })
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1)
  }

  /** Takes the table out as a file; gives the file's name. */
  async exportAs(format: string): Promise<string> {
    await this.goTo('Machine')
    await this.link('Files')
    const coming = this.page.waitForEvent('download')
    await this.button(format)
    return (await coming).suggestedFilename()
  }
}
