import { render } from 'preact'
import { App } from './app.js'
import { showMinusSigns } from './printed-minus.js'

showMinusSigns()
const place = document.getElementById('page')
if (place !== null) {
  place.textContent = ''
  render(<App />, place)
}
