export { escapedJson, refuseControls, withoutControls } from './control-characters.js'
