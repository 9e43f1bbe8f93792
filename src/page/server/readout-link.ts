import { DataError } from '../../errors/index.js'
import {
  loadReadoutProfile,
  openReconnectingReadout,
  type ReadoutPort,
  type ReconnectingReadoutOptions,
} from '../../ingest/index.js'
import {
  type LiveListener,
  LiveRecorder,
  linesTellUnit,
  type PortLink,
  parseMoveMm,
  portLink,
  type ReadoutSettings,
  SINGLE_RUN_REST_S,
  settingsByMove,
  unitIsOpen,
} from '../../jobs/index.js'
import type { Axis, Store } from '../../store/index.js'
import type { LengthUnit } from '../../units/index.js'
import type { ConnectRequest } from '../api.js'

/** A readout on a port, and what takes its lines. */
export class ReadoutLink {
  readonly axis: Axis
  readonly #store: Store
  readonly #path: string
  #settings: ReadoutSettings
  readonly #wire: PortLink
  readonly #listener: LiveListener
  #recorder: LiveRecorder
  #restS = SINGLE_RUN_REST_S
  #port: ReadoutPort | null = null

  private constructor(
    store: Store,
    on: {
      readonly axis: Axis
      readonly path: string
      readonly wire: PortLink
      readonly settings: ReadoutSettings
    },
    listener: LiveListener,
  ) {
    this.#store = store
    this.axis = on.axis
    this.#path = on.path
    this.#wire = on.wire
    this.#settings = on.settings
    this.#listener = listener
    this.#recorder = this.#newRecorder()
  }

  /** Finds out how to read the port; it is not opened yet. @throws UsageError `unknown-axis`, `unknown-profile` */
  static async prepare(store: Store, request: ConnectRequest, listener: LiveListener): Promise<ReadoutLink> {
    const axis = store.axes.byId(request.axisId)
    const machine = store.machines.byId(axis.machineId)
    const profile = request.profile === null ? null : await loadReadoutProfile(request.profile)
    const wire = portLink(request.baudRate, profile)
    const settings: ReadoutSettings = {
      profile,
      bareUnit: machine.unit,
      countLengthMm: null,
      fromSpreadsheet: false,
      baudRate: wire.baudRate,
    }
    return new ReadoutLink(store, { axis, path: request.port, wire, settings }, listener)
  }

  get recorder(): LiveRecorder {
    return this.#recorder
  }

  /** Whether nothing tells yet that the numbers are in the machine's unit; false as long as no line showed its format. */
  get unitIsOpen(): boolean {
    const { format } = this.#recorder
    if (format === null || !unitIsOpen(this.#store, this.axis, this.#settings)) return false
    return !linesTellUnit(format, this.#unit)
  }

  /**
   * Reads the numbers from now on as a known move of the table shows.
   *
   * @param shownMm how far the readout moved, as it was read
   * @returns a sentence that says what was found
   * @throws UsageError, DataError as `parseMoveMm` and `settingsByMove` do
   */
  takeKnownMove(moved: string, shownMm: number): string {
    const { format } = this.#recorder
    if (format === null) {
      throw new DataError(
        'nothing-moved',
        'No line came from the readout yet.',
        'Wait for the position to show.',
      )
    }
    const lengthMm = parseMoveMm(moved, this.#unit, this.axis.leadscrewPitchMm)
    const found = settingsByMove(this.#settings, { shownMm, format }, lengthMm)
    this.#settings = found.settings
    this.#recorder = this.#newRecorder()
    return found.sentence
  }

  get #unit(): LengthUnit {
    return this.#store.machines.byId(this.axis.machineId).unit
  }

  /** Opens the port. @throws DeviceError as `openReadout` does */
  async open(on: Pick<ReconnectingReadoutOptions, 'onLost' | 'onBack' | 'onClose'>): Promise<void> {
    this.#port = await openReconnectingReadout({
      ...on,
      path: this.#path,
      ...this.#wire,
      onLine: (line) => this.#recorder.line(line),
      onRejected: () => {},
    })
  }

  /** A session may ask for another rest than a single run; the format is then worked out anew, within a second. */
  restAfter(restS: number): void {
    if (this.#restS === restS) return
    this.#restS = restS
    this.#recorder = this.#newRecorder()
  }

  async close(): Promise<void> {
    await this.#port?.close()
  }

  #newRecorder(): LiveRecorder {
    const source = { settings: this.#settings, origin: this.#path, restS: this.#restS }
    return new LiveRecorder(this.#store, this.axis, source, this.#listener)
  }
}
