import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import {
  type CutterMaterial,
  chipLoadFor,
  findMaterial,
  parseCuttingData,
  withOwnMaterials,
} from '../../../src/planning/cut/index.js'

const json = (path: string): unknown => JSON.parse(readFileSync(path, 'utf8'))
const builtIn = parseCuttingData(json('calibration/cutting-data.json'), 'calibration/cutting-data.json')

interface Published {
  items: { id: string; value?: { m_per_min: number | number[] }; rows?: (string | number)[][] }[]
}
const published = json('fixtures/references/milling-starting-values.json') as Published
const milling = json('fixtures/references/milling.json') as {
  items: { id: string; value?: Record<string, number> }[]
}

function speedOf(material: string, cutterMaterial: CutterMaterial) {
  return findMaterial(builtIn, material)!.cutters.find((row) => row.cutterMaterial === cutterMaterial)!
    .cuttingSpeed!
}

describe('calibration/cutting-data.json', () => {
  it("starts from the speeds of the Mechanical Engineer's Data Handbook, p. 187, where it has them", () => {
    for (const [id, material, cutter] of [
      ['hss-low-carbon-steel', 'low-carbon steel', 'hss'],
      ['hss-alloy-steel', 'alloy steel', 'hss'],
      ['hss-cast-iron', 'grey cast iron', 'hss'],
      ['hss-hard-brass', 'hard brass', 'hss'],
      ['hss-aluminium-alloy', 'aluminium alloy', 'hss'],
      ['carbide-mild-steel', 'low-carbon steel', 'carbide'],
      ['carbide-stainless-steel', 'stainless steel', 'carbide'],
      ['carbide-grey-cast-iron', 'grey cast iron', 'carbide'],
      ['carbide-aluminium-alloy-k20', 'aluminium alloy', 'carbide'],
    ] as const) {
      const { m_per_min } = published.items.find((item) => item.id === id)!.value!
      const speed = speedOf(material, cutter)
      // Of several grades the slowest is the one to start from.
      expect(speed.cuttingSpeedMPerMin).toBe(Math.min(...[m_per_min].flat()))
      expect(speed.status).toBe('published')
      expect(speed.source).toMatch(/Mechanical Engineer's Data Handbook, p. 187/)
    }
  })

  it('says of every row that is not printed anywhere that it is from memory', () => {
    const recalled = published.items.find((item) => item.id === 'half-inch-end-mill-table')!.rows!
    for (const [name, hss, low, high, carbide, carbideLow, carbideHigh] of recalled) {
      const material = findMaterial(builtIn, String(name))!
      for (const [kind, speed, from, to] of [
        ['hss', hss, low, high],
        ['carbide', carbide, carbideLow, carbideHigh],
      ] as const) {
        const row = material.cutters.find((one) => one.cutterMaterial === kind)!
        expect(row.chipLoad!.status).toBe('from memory')
        expect(row.chipLoad!.lowMm / 25.4).toBeCloseTo(Number(from), 9)
        expect(row.chipLoad!.highMm / 25.4).toBeCloseTo(Number(to), 9)
        if (row.cuttingSpeed!.status === 'from memory') {
          expect(row.cuttingSpeed!.cuttingSpeedMPerMin / 0.3048).toBeCloseTo(Number(speed), 9)
        }
      }
    }
  })

  it("has the specific energies of the Mechanical Engineer's Data Handbook, p. 192", () => {
    const constants = milling.items.find((item) => item.id === 'specific-cutting-energy-constants')!.value!
    for (const [key, material] of [
      ['aluminium', 'aluminium alloy'],
      ['brass', 'free-cutting brass'],
      ['cast_iron', 'grey cast iron'],
      ['mild_steel', 'mild steel'],
    ] as const) {
      const energy = findMaterial(builtIn, material)!.specificEnergy!
      expect([energy.lowWsPerMm3, energy.highWsPerMm3]).toEqual([constants[key], constants[key]])
      expect(energy.status).toBe('published')
    }
  })
})

describe('findMaterial(materials, name)', () => {
  it('takes a name in any capitals, with hyphens or without, and other names for it', () => {
    for (const name of ['Low-Carbon Steel', 'low carbon  steel', 'MILD STEEL', 'mild_steel']) {
      expect(findMaterial(builtIn, name)?.name).toBe('low-carbon steel')
    }
    expect(findMaterial(builtIn, 'steel')).toBeNull()
  })
})

describe('chipLoadFor(row, diameterMm)', () => {
  const row = { lowMm: 0.05, highMm: 0.1, forDiameterMm: 12, source: 'here', status: 'own' as const }

  it('scales down for a smaller cutter, never up', () => {
    expect(chipLoadFor(row, 6)).toEqual({ lowMm: 0.025, highMm: 0.05, scale: 0.5 })
    expect(chipLoadFor(row, 50)).toEqual({ lowMm: 0.05, highMm: 0.1, scale: 1 })
    expect(chipLoadFor({ ...row, forDiameterMm: null }, 3).lowMm).toBe(0.05)
  })
})

describe('withOwnMaterials(builtIn, own)', () => {
  const own = parseCuttingData(
    {
      materials: [
        {
          name: 'Low-carbon steel',
          cutters: [
            { material: 'hss', cuttingSpeed: { value: '80ft/min', source: 'own trials', status: 'own' } },
          ],
        },
        {
          name: 'acetal',
          cutters: [
            {
              material: 'carbide',
              chipLoad: { low: '0.1mm', high: '0.2mm', source: 'own trials', status: 'own' },
            },
          ],
        },
      ],
    },
    'mine.json',
  )
  const all = withOwnMaterials(builtIn, own)

  it('replaces what an own row says and keeps what it leaves out', () => {
    const steel = findMaterial(all, 'mild steel')!
    expect(steel.cutters[0]!.cuttingSpeed).toMatchObject({ source: 'own trials', status: 'own' })
    expect(steel.cutters[0]!.cuttingSpeed!.cuttingSpeedMPerMin).toBeCloseTo(24.384, 9)
    expect(steel.cutters[0]!.chipLoad).toEqual(findMaterial(builtIn, 'mild steel')!.cutters[0]!.chipLoad)
    expect(steel.cutters[1]).toEqual(findMaterial(builtIn, 'mild steel')!.cutters[1])
  })

  it('adds materials of its own', () => {
    expect(all).toHaveLength(builtIn.length + 1)
    expect(findMaterial(all, 'Acetal')!.cutters[0]).toMatchObject({ cuttingSpeed: null })
  })
})

describe('parseCuttingData(json, place)', () => {
  const material = (cutter: object) => ({ materials: [{ name: 'acetal', cutters: [cutter] }] })
  const from = { source: 'own trials', status: 'own' }

  it('bad-cutting-data names the file and the field', () => {
    for (const [json, where] of [
      [material({ material: 'hss', cuttingSpeed: { value: '80', ...from } }), 'cuttingSpeed.value'],
      [material({ material: 'hss', cuttingSpeed: { value: '80ft/min' } }), 'cuttingSpeed.source'],
      [material({ material: 'glass' }), 'material'],
      [material({ material: 'hss', chipLoad: { low: '0.2mm', high: '0.1mm', ...from } }), 'acetal, hss'],
      [material({ material: 'hss', cuttingSpeed: { value: 'x9ft/min', ...from } }), 'acetal'],
      [[], 'mine.json'],
    ] as const) {
      expect(() => parseCuttingData(json, 'mine.json')).toThrow(
        expect.objectContaining({ code: 'bad-cutting-data', message: expect.stringContaining(where) }),
      )
      expect(() => parseCuttingData(json, 'mine.json')).toThrow(/mine\.json/)
    }
  })
})
