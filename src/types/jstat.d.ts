/** The few functions of jstat 1.9 that we call; the package ships no types of its own. */
declare module 'jstat' {
  interface StudentT {
    pdf(t: number, degreesOfFreedom: number): number
    cdf(t: number, degreesOfFreedom: number): number
    inv(probability: number, degreesOfFreedom: number): number
  }
  interface Normal {
    cdf(z: number, mean: number, standardDeviation: number): number
    inv(probability: number, mean: number, standardDeviation: number): number
  }
  interface ChiSquare {
    cdf(x: number, degreesOfFreedom: number): number
    inv(probability: number, degreesOfFreedom: number): number
  }
  interface CentralF {
    inv(probability: number, degreesOfFreedom1: number, degreesOfFreedom2: number): number
  }
  interface JStat {
    readonly studentt: StudentT
    readonly normal: Normal
    readonly chisquare: ChiSquare
    readonly centralF: CentralF
  }
  /** A CommonJS package: its whole export arrives as the default. */
  const jstat: { readonly jStat: JStat }
  export default jstat
}
