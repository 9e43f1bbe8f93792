/** What the tests use of the public Frictionless Data library, which brings no types. */
declare module 'datapackage' {
  export interface Resource {
    readonly errors: readonly Error[]
    readonly tabular: boolean
    read(options?: { readonly keyed?: boolean }): Promise<unknown[]>
  }
  export class Package {
    static load(descriptor: string): Promise<Package>
    readonly errors: readonly Error[]
    readonly resourceNames: readonly string[]
    readonly resources: readonly Resource[]
    getResource(name: string): Resource | null
  }
}
