import type { View } from '../model/places.js'
import { Phone } from './phone.js'

/** What the place "Machine" offers, in this order; each is one file in this folder. */
export const MACHINE_VIEWS: readonly View[] = [{ path: 'phone', name: 'Phone', view: Phone }]
