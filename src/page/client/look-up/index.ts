import type { View } from '../model/places.js'
import { Card } from './card.js'
import { Cut } from './cut.js'
import { Feeds } from './feeds.js'

/** What the place "Look up" offers. */
export const LOOK_UP_VIEWS: readonly View[] = [
  { path: '', name: 'Dial and feed', view: Feeds },
  { path: 'cut', name: 'Cut', view: Cut },
  { path: 'card', name: 'Card', view: Card },
]
