export { type ServedPage, servePage } from './server/serve-page.js'
