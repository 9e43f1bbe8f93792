export { escapedJson, refuseControls, withoutControls } from './control-characters.js'
export { countOf } from './count-of.js'
export { shortId } from './short-id.js'
export { PRINTED_WIDTH, reflowText, wrapLine, wrapText } from './wrap.js'
