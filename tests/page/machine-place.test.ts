import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { describe, expect, it, onTestFinished } from 'vitest'
import { backUp } from '../../src/jobs/index.js'
import { servePage } from '../../src/page/index.js'
import { openStore } from '../../src/store/index.js'
import { hasBrowser, openBrowser, openPage, PHONE } from '../harness/browser.js'
import { expectInOrder, expectNotWide, openView } from '../harness/page-state.js'
import { temporaryFolder } from '../harness/program.js'
import { servedSimulatedMill } from '../harness/simulated-mill.js'

describe.skipIf(!hasBrowser)('the place "Machine"', () => {
  it('does on a phone what belongs to the machine, without a command', async () => {
    const { store, axisId, served, path } = await servedSimulatedMill()
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, `${served.url}#/machine`)
    const button = (name: string | RegExp) => page.getByRole('button', { name })

    // Machines and axes.
    await page.getByRole('heading', { name: 'Machines and axes' }).waitFor()
    await button(/^Change axis/).click()
    await page.getByLabel('Leadscrew pitch').fill('5mm')
    await page.getByLabel('own words').check()
    await page.getByLabel('Word for +').fill('to the wall')
    await page.getByLabel('Word for −').fill('to me')
    await expectInOrder(page, 'axis form')
    await button('Save').click()
    await page.getByText('leadscrew pitch').waitFor()
    expect(store.axes.byId(axisId)).toMatchObject({
      leadscrewPitchMm: 5,
      ways: { plus: 'to the wall', minus: 'to me' },
    })
    await button('Add an axis').click()
    await page.getByLabel('Axis name').fill('Y')
    await page.getByLabel('Travel').fill('far')
    await button('Add axis').click()
    await page.getByText(/Travel: "far" holds no number/).waitFor()
    await page.getByLabel('Travel').fill('20mm')
    await page.getByText(/A travel of .* is very short\. Meant in inches\?/).waitFor()
    await page.getByLabel('Travel').fill('8')
    await page.getByLabel('Marks', { exact: true }).fill('12')
    await button('Add axis').click()
    // What to do is to be done in the form that it stands in, so no place is named.
    await page.getByText(/0 to 10\. Give it a name, its travel and the numbers on its dial\.$/).waitFor()
    await page.getByLabel('Marks', { exact: true }).fill('')
    await button('Add axis').click()
    await button('Retire axis Y').click()
    await button('Bring back axis Y').click()
    await button('Retire axis Y').waitFor()
    // An axis that turns: bare numbers are degrees, whatever the machine is built in.
    await button('Add an axis').click()
    await page.getByLabel('Axis name').fill('C')
    await page.getByLabel('It turns').check()
    await page.getByLabel('Travel').fill('6in')
    await page.getByLabel('One turn of the handle').fill('4')
    await button('Add axis').click()
    await page.getByText(/Travel: "6in" is a length, and here an angle is needed/).waitFor()
    await page.getByLabel('Travel').fill('360')
    await button('Add axis').click()
    await page.getByText('turns, travel 360.00 deg, dial 0 to 10, one turn of the handle 4.00 deg').waitFor()
    await button('Retire axis C').click()
    await button(/^Change [^a]/).click()
    await page.getByLabel('Spindle speeds').fill('100 200; 300')
    await button('Save').click()
    await page.getByText(/Spindle speeds: "100 200; 300" is not a list of numbers/).waitFor()
    await page.getByLabel('Spindle speeds').fill('100 200 300')
    await expectInOrder(page, 'machine form')
    await button('Save').click()
    await page.getByText('100, 200, 300 rpm').waitFor()
    await expectNotWide(page, 'machines')

    // Runs: a picture, leave one out, take it back.
    await openView(page, 'machine/runs')
    const [first] = store.runs.list(axisId).toReversed()
    await button(/^Picture of/)
      .first()
      .click()
    await page.locator('.picture svg').waitFor()
    // The user's own word for a direction stands beside its sign.
    await page.getByText('to the wall').first().waitFor()
    await expectInOrder(page, 'runs')
    await button(/^Leave out/)
      .first()
      .click()
    await page.getByLabel('Why').fill('hand on the table')
    await page.locator('form').getByRole('button', { name: 'Leave out' }).click()
    await page.getByText('left out: hand on the table').waitFor()
    expect(store.runs.get(first!.id).dropReason).toBe('hand on the table')
    await button(/^Put back/).click()
    await page.getByText('left out: hand on the table').waitFor({ state: 'detached' })

    // Tables: where a number comes from; comparing.
    await openView(page, 'machine/tables')
    await page.getByLabel('Dial setting').fill(String(store.tables.inForce(axisId, 1)!.marks[1]!.dial))
    await button('Explain').click()
    await page.getByText('all together').waitFor()
    await expectInOrder(page, 'tables')
    await openView(page, 'machine/compare')
    await button('Compare').click()
    await page.getByText(/direction − \(to me\) \(\d+ runs\) against direction \+ \(to the wall\)/).waitFor()
    await expectInOrder(page, 'compare')

    // What follows from the runs: the limit stop, how many more, who presses.
    await openView(page, 'machine/stops')
    await button('Work it out').click()
    await page.getByText(/Set the limit stop to trip at least/).waitFor()
    await expectInOrder(page, 'stops')
    await openView(page, 'machine/advice')
    await page.getByLabel(/^Feed, /).fill('6')
    await page.getByLabel('Step of the readout').fill('0.0002')
    await button('Work it out').click()
    await page.getByText(/^For 6\.0\d* in\/min .* (make \d+ runs?|no more runs)/).waitFor()
    await expectInOrder(page, 'advice')
    await openView(page, 'machine/practice')
    await page.getByLabel('Who practises').fill('Ann')
    await button('Begin').click()
    await page.getByText('Round 1 of 10').waitFor()
    await expectInOrder(page, 'practice')
    await button('Cancel').click()

    // Files: a table goes out and a backup too; the backup comes back.
    await openView(page, 'machine/files')
    const folder = temporaryFolder()
    const keep = async (name: string): Promise<string> => {
      const coming = page.waitForEvent('download')
      await button(name).click()
      const download = await coming
      const file = join(folder, download.suggestedFilename())
      await download.saveAs(file)
      return file
    }
    expect(readFileSync(await keep('CSV'), 'utf8')).toMatch(/dial/)
    expect(readFileSync(await keep('Sheet to print'), 'utf8')).toMatch(/<td>2<\/td>[\s\S]*<td>8<\/td>/)
    expect(readFileSync(await keep('Sheet to fill in'), 'utf8')).toMatch(/^dial,direction,distance,time/m)
    const tables = await keep('Table document')
    const backup = await keep('Download a backup')
    await page.getByLabel('File to bring in').setInputFiles(tables)
    await button('Bring it in').click()
    await page
      .getByText(/already here as version 1/)
      .first()
      .waitFor()
    store.runs.drop(first!.id, 'by mistake', new Date().toISOString())
    await page.getByLabel('Backup', { exact: true }).setInputFiles(backup)
    expect(await button('Bring it back').isDisabled()).toBe(true)
    await page.getByLabel('Put the backup in the place of what is here').check()
    await expectInOrder(page, 'files')
    await button('Bring it back').click()
    await page.getByText('The backup is sound').waitFor()
    expect(store.runs.get(first!.id).droppedAt).toBeNull()

    await openView(page, 'machine/care')
    await page.getByText(`The store ${path} is sound.`).waitFor()

    // On a new computer everything comes over from the first view on.
    const elsewhere = openStore(join(folder, 'elsewhere.db'), { mode: 'write' })
    const servedElsewhere = await servePage(elsewhere, { port: 0, host: null, readoutPorts: [] })
    onTestFinished(async () => {
      await servedElsewhere.close()
      elsewhere.close()
    })
    await page.goto(servedElsewhere.url)
    await page.getByLabel('File to bring in').setInputFiles(backup)
    await button('Bring it in').click()
    await page.getByRole('heading', { name: 'Feeds of' }).waitFor()
  })

  it('says what is wrong with a damaged store, and puts a backup in its place', async () => {
    const { served, path } = await servedSimulatedMill()
    const backup = join(temporaryFolder(), 'backup.db')
    backUp(path, backup, false)
    const raw = new Database(path)
    raw.exec("UPDATE machine SET name = 'Nobody knows'")
    raw.close()
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, served.url)
    await page
      .getByText(/is damaged: machine Nobody knows is not what was stored/)
      .first()
      .waitFor()
    await expectInOrder(page, 'damaged')
    await page.getByLabel('Backup', { exact: true }).setInputFiles(backup)
    await page.getByLabel('Put the backup in the place of what is here').check()
    await page.getByRole('button', { name: 'Bring it back' }).click()
    await page.getByRole('link', { name: 'Look up' }).waitFor()
  })

  it('notes what happened at a cut, with where the work lay', async () => {
    const { store, axisId, served } = await servedSimulatedMill()
    const browser = await openBrowser()
    const page = await openPage(browser, PHONE, `${served.url}#/look-up/cut`)
    await page.getByLabel(/^Diameter of the cutter/).fill('0.5')
    await page.getByLabel('Teeth').fill('4')
    await page.getByLabel('Work material').selectOption('low-carbon steel')
    await page.getByText('Values of your own').click()
    await page.getByLabel(/^The work lies from the cutter/).selectOption('left')
    await page.getByRole('button', { name: 'Work it out' }).click()
    await page.getByText('Note what happened at this cut').click()
    await page.getByLabel('What happened').selectOption('chatter')
    await page.getByLabel('Measured roughness').fill('1.6um')
    await expectInOrder(page, 'cut note')
    await page.getByRole('button', { name: 'Keep this note' }).click()
    await page.getByText(/^Kept: .*chatter/).waitFor()
    const { machineId } = store.axes.byId(axisId)
    expect(store.cutNotes.list(machineId)).toMatchObject([{ outcome: 'chatter', finishUm: 1.6 }])
  })
})
