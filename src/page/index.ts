export { type ServedPage, type ServeOptions, servePage } from './server/serve-page.js'
