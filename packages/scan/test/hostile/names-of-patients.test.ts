import { describe, expect, it } from 'vitest'
import { inspectScan, loadScan } from '../../src/index.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, inSlice } from '../chiral.js'

const bytes = (...values: number[]) => ({ vr: 'PN', value: Uint8Array.from(values) })
const text = (name: string) => bytes(...new TextEncoder().encode(name))

/** "Jérôme" in ISO 8859-1 and in UTF-8, "山田^太郎" in JIS X 0208 with escapes (PS3.5 annex H), by hand. */
const latin1 = bytes(0x42, 0x75, 0x63, 0x5e, 0x4a, 0xe9, 0x72, 0xf4, 0x6d, 0x65)
const japanese = bytes(
  ...[...'Yamada^Tarou='].map((c) => c.charCodeAt(0)),
  ...[0x1b, 0x24, 0x42, 0x3b, 0x33, 0x45, 0x44, 0x1b, 0x28, 0x42, 0x5e],
  ...[0x1b, 0x24, 0x42, 0x42, 0x40, 0x4f, 0x3a, 0x1b, 0x28, 0x42],
)

describe('the person on a scan', () => {
  it.each([
    ['Latin-1', 'ISO_IR 100', latin1, 'Buc, Jérôme'],
    ['UTF-8', 'ISO_IR 192', text('Buc^Jérôme'), 'Buc, Jérôme'],
    ['Japanese with escapes', ['', 'ISO 2022 IR 87'], japanese, 'Yamada, Tarou (山田 太郎)'],
  ] as const)('%s: the name as it was written', async (_, set, value, shown) => {
    const overrides = { SpecificCharacterSet: set as string | string[], PatientName: value }
    const { series } = await inspectScan(inputsOf(chiralFiles({ overrides })), { persons: true })
    expect(series[0]?.person?.name).toBe(shown)
  })

  it('declared as UTF-8 and written in Latin-1: says so, no nonsense', async () => {
    const overrides = { SpecificCharacterSet: 'ISO_IR 192', PatientName: latin1 }
    const { series } = await inspectScan(inputsOf(chiralFiles({ overrides })), { persons: true })
    expect(series[0]?.person?.name).toBe('undecodable name')
  })

  it('declared as Latin-1 and written in UTF-8: the name, no nonsense of single bytes', async () => {
    const overrides = { SpecificCharacterSet: 'ISO_IR 100', PatientName: text('Buc^Jérôme') }
    const { series } = await inspectScan(inputsOf(chiralFiles({ overrides })), { persons: true })
    expect(series[0]?.person?.name).toBe('Buc, Jérôme')
  })

  it('one name spelled in two ways, one ID and birth date: one person, one volume', async () => {
    const files = chiralFiles({ overrides: inSlice(4, { PatientName: 'PHANTOM^COMPUTED' }) })
    const { volume, report } = await loadScan(inputsOf(files))
    expectSameAsPhantom(volume)
    expect(codes(report)).not.toContain('several-patients')
  })

  it('one name, two birth dates: two persons', async () => {
    const files = chiralFiles({ overrides: (k) => (k < 4 ? { PatientBirthDate: '19700101' } : {}) })
    const { report } = await loadScan(inputsOf(files), {}).catch((e) => e)
    expect(codes(report)).toContain('several-patients')
  })

  it('nothing of it stays with the volume', async () => {
    const overrides = { PatientName: 'Stranger^Any', PatientID: 'ID-4711', PatientBirthDate: '19500101' }
    const { volume, report, series } = await loadScan(inputsOf(chiralFiles({ overrides })))
    expect(JSON.stringify([{ ...volume, data: null }, report, series])).not.toMatch(/Stranger|4711|19500101/)
  })
})
