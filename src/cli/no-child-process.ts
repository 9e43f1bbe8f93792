// Stands in the lookups' file for Node's module that starts programs, which takes a tenth of a lookup's time to load and
// which no lookup uses (see `scripts/program-build.js`).
export {}
