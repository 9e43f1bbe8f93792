import { describe, expect, it } from 'vitest'
import { UsageError } from '../../src/errors/index.js'
import {
  CM3_PER_IN3,
  fromMPerMin,
  parseCuttingSpeedMPerMin,
  parseForceN,
  parsePowerW,
  parseSpecificEnergyWsPerMm3,
  W_PER_HP,
  WS_PER_MM3_PER_HP_MIN_PER_IN3,
} from '../../src/units/index.js'

describe('units of cutting', () => {
  it('holds the exact sizes: 1 in³ = 16.387064 cm³, 1 hp = 745.69987 W, 1 hp min/in³ = 2.73032 W s/mm³', () => {
    // Exact by definition: 1 in = 25.4 mm, 1 hp = 550 ft lbf/s; the last one from both, worked by hand.
    expect(CM3_PER_IN3).toBeCloseTo(16.387064, 12)
    expect(W_PER_HP).toBeCloseTo(745.69987158227, 9)
    expect(WS_PER_MM3_PER_HP_MIN_PER_IN3).toBeCloseTo(2.73032388809, 11)
  })

  it('reads cutting speeds in both systems; a bare one in ft/min or m/min by the machine', () => {
    expect(parseCuttingSpeedMPerMin('90ft/min', 'mm', '--speed')).toBeCloseTo(27.432, 12)
    expect(parseCuttingSpeedMPerMin('27 m/min', 'in', '--speed')).toBe(27)
    expect(parseCuttingSpeedMPerMin('100', 'in', '--speed')).toBeCloseTo(30.48, 12)
    expect(parseCuttingSpeedMPerMin('100', 'mm', '--speed')).toBe(100)
    expect(fromMPerMin(30.48, 'ft/min')).toBeCloseTo(100, 12)
  })

  it('refuses a table feed where a cutting speed belongs', () => {
    expect(() => parseCuttingSpeedMPerMin('7in/min', 'in', '--speed')).toThrow(UsageError)
    expect(() => parseCuttingSpeedMPerMin('fast', 'in', '--speed')).toThrow(/no number/)
  })

  it('reads forces as a spring scale shows them; a bare one in lbf or N by the machine', () => {
    expect(parseForceN('60lbf', 'mm', '--push')).toBeCloseTo(266.893, 3)
    expect(parseForceN('60 lb', 'mm', '--push')).toBeCloseTo(266.893, 3)
    expect(parseForceN('25kg', 'in', '--push')).toBeCloseTo(245.166, 3)
    expect(parseForceN('250N', 'in', '--push')).toBe(250)
    expect(parseForceN('60', 'in', '--push')).toBeCloseTo(266.893, 3)
    expect(parseForceN('60', 'mm', '--push')).toBe(60)
    expect(() => parseForceN('60W', 'in', '--push')).toThrow(/does not fit/)
  })

  it('reads powers and specific energies', () => {
    expect(parsePowerW('2hp', '--motor')).toBeCloseTo(1491.4, 1)
    expect(parsePowerW('1.1 kW', '--motor')).toBeCloseTo(1100, 9)
    expect(parseSpecificEnergyWsPerMm3('2.7 W s/mm3', 'K')).toBe(2.7)
    expect(parseSpecificEnergyWsPerMm3('2.7', 'K')).toBe(2.7)
    expect(parseSpecificEnergyWsPerMm3('1 hp min/in3', 'K')).toBeCloseTo(2.73032, 5)
    expect(parseSpecificEnergyWsPerMm3('1hpmin/in³', 'K')).toBeCloseTo(2.73032, 5)
    expect(() => parseSpecificEnergyWsPerMm3('1hpmin/mm3', 'K')).toThrow(UsageError)
    expect(() => parseSpecificEnergyWsPerMm3('1J/mm3', 'K')).toThrow(UsageError)
  })
})
