import { mkdtemp, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sampleAt, toIndex, type Vec3, type Volume } from '@alveometer/core'
import { expect, it } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { describeWithData, sharedData } from '../../../tests/shared-data.js'
import { inspectScan, isScanError, type LoadOptions, loadScan, type ScanError } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import { codes } from './chiral.js'

// Expected numbers in this file were measured with pydicom and NumPy; they stand in the data's own notes.

/** The voxel whose centre is at a world point; the point, rounded to 4 decimals in the notes, must be a centre. */
function voxelAt({ data, shape, worldToIndex }: Volume, point: Vec3): number | undefined {
  const index = toIndex(worldToIndex, point)
  for (const c of index) expect(Math.abs(c - Math.round(c))).toBeLessThan(1e-3)
  const [i, j, k] = index.map(Math.round) as [number, number, number]
  return data[i + shape[0] * (j + shape[1] * k)]
}

async function refusalOf(path: string, options?: LoadOptions): Promise<ScanError> {
  try {
    await loadScan(await inputsFromPath(path), options)
  } catch (error) {
    if (isScanError(error)) return error
    throw error
  }
  throw new Error(`${path} was loaded, should have been refused`)
}

describeWithData('a plain CT series of a skull phantom', 'phantom-skull-tilt0-bone', (folder) => {
  const loaded = inputsFromPath(folder).then((inputs) => loadScan(inputs))

  it('shape, step, origin and range', async () => {
    const { volume, report } = await loaded
    expect(volume.shape).toEqual([512, 512, 36])
    expect(volume.spacingMm[0]).toBeCloseTo(0.451172, 6)
    expect(volume.spacingMm[2]).toBeCloseTo(1, 9)
    expect(volume.indexToWorld.slice(12, 15)).toEqual([-115.5, -1.85, 750.21])
    expect([volume.grey.minimum, volume.grey.maximum]).toEqual([-1024, 1024])
    expect(volume.noData).toBeUndefined()
    expect(report.filter((r) => r.level !== 'note')).toEqual([])
    let sum = 0
    for (let i = 0; i < volume.data.length; i++) sum += volume.data[i] as number
    expect(sum).toBe(1677849413 - 1024 * volume.data.length)
  })

  it.each<[number, number, number, number]>([
    [12.6328, 69.8863, 750.21, 100],
    [-103.7695, 165.0836, 750.21, 223],
    [0.4512, 193.5074, 759.21, 741],
    [18.0469, 19.3551, 759.21, 768],
    [62.7129, 137.1109, 768.21, 776],
    [1.3535, 22.5133, 768.21, 867],
    [-56.3965, 54.0953, 777.21, 908],
    [-86.1738, 190.8004, 777.21, 393],
    [-58.2012, 156.9625, 785.21, 852],
    [33.8379, 221.0289, 785.21, 398],
  ])('voxel at (%d, %d, %d) mm is %d', async (x, y, z, value) => {
    const { volume } = await loaded
    expect(voxelAt(volume, [x, y, z])).toBe(value)
  })

  it.each<[number, number, number, number]>([
    [14, 85, 770, 110.32],
    [-3.1, 106.8, 770, 96.35],
    [4, 85, 770.5, 0.08],
    [50, 120, 772.25, -993.75],
    [-3, 188, 770.21, 752.45],
    [61.8, 110, 770.21, 770.81],
  ])('between voxels at (%d, %d, %d) mm: %d', async (x, y, z, value) => {
    const { volume } = await loaded
    expect(Math.abs((sampleAt(volume, [x, y, z]) as number) - value)).toBeLessThanOrEqual(0.005)
  })

  it('with the scout of the same study beside it: the scan is loaded, never the scout', async () => {
    const scout = sharedData('phantom-localizer')
    if (scout === null) return
    const inputs = [...(await inputsFromPath(scout)), ...(await inputsFromPath(folder))]
    const { series } = await inspectScan(inputs)
    expect(series.map((s) => [s.localizer, s.usable, s.shape[2]])).toEqual([
      [true, false, 1],
      [false, true, 36],
    ])
    const { volume } = await loadScan(inputs)
    expect(volume.shape).toEqual([512, 512, 36])
  })

  it('one file left out: the gap is named', async () => {
    const inputs = (await inputsFromPath(folder)).filter((i) => i.name !== 'I740')
    const { volume, report } = await loadScan(inputs)
    const gap = report.find((r) => r.code === 'slices-missing')
    expect(gap?.message).toMatch(/1 slice missing between I730 and I750 .*gap of 2 mm/)
    expect(volume.spacingMm[2]).toBeCloseTo(1, 9)
    expect(voxelAt(volume, [33.8379, 221.0289, 785.21])).toBe(398)
  })

  describeWithPython('against pydicom and NumPy', ['numpy', 'pydicom'], (run) => {
    it('every voxel is the same', async () => {
      const { volume } = await loaded
      const work = await mkdtemp(join(tmpdir(), 'scan-'))
      try {
        run(
          `
import sys, glob, numpy, pydicom
slices = [pydicom.dcmread(f) for f in glob.glob(sys.argv[1] + '/I*')]
slices.sort(key=lambda d: d.ImagePositionPatient[2])
grey = numpy.stack([d.pixel_array * d.RescaleSlope + d.RescaleIntercept for d in slices])
grey.astype('<i2').tofile(sys.argv[2])
`,
          [folder, join(work, 'grey.raw')],
        )
        const bytes = await readFile(join(work, 'grey.raw'))
        const ours = Buffer.from(volume.data.buffer, volume.data.byteOffset, volume.data.byteLength)
        expect(bytes.length).toBe(ours.length)
        expect(bytes.equals(ours)).toBe(true)
      } finally {
        await rm(work, { recursive: true })
      }
    })
  })
})

describeWithData('series with faulty geometry', 'geometry-faults', (folder) => {
  it('a missing slice in a tilted stack: both named', async () => {
    const { report } = await loadScan(await inputsFromPath(join(folder, 'missing-slice-tilted')))
    const warnings = report.filter((r) => r.level === 'warn')
    expect(codes(warnings)).toEqual(['slices-missing', 'tilt-resampled'])
    expect(warnings[0]?.message).toContain('between IM-0001-0003.dcm and IM-0001-0005.dcm')
    expect(warnings[1]?.message).toContain('15.5 degrees')
  })

  it('all images at one position: not a volume', async () => {
    expect(codes((await refusalOf(join(folder, 'all-at-one-position'))).report)).toEqual(['not-a-volume'])
  })

  it('non-square pixels, oblique, a rescale of its own in every slice', async () => {
    const { volume } = await loadScan(await inputsFromPath(join(folder, 'non-square-pixels')))
    expect(volume.shape).toEqual([64, 28, 4])
    expect(volume.spacingMm[0]).toBeCloseTo(6.399959, 5)
    expect(volume.spacingMm[1]).toBeCloseTo(4, 5)
    expect(volume.spacingMm[2]).toBeCloseTo(0.5, 5)
    for (const [x, y, z, value] of [
      [216.8492, -113.4745, -138.6444, 33.9602],
      [-60.5499, -55.2757, -143.1978, 33.9871],
      [75.2988, -94.4844, -140.514, 33.4469],
      [37.6309, -115.8353, -140.7583, 42.8675],
      [162.395, -23.3551, -137.6988, 96.4066],
    ] as const)
      expect(voxelAt(volume, [x, y, z])).toBeCloseTo(value, 4)
  })
})

describeWithData('two files at one position and uneven gaps', 'duplicate-positions', (folder) => {
  it('both are named', async () => {
    const { report } = await refusalOf(folder)
    expect(codes(report.filter((r) => r.level === 'block'))).toEqual(['same-position', 'steps-irregular'])
    expect(report.find((r) => r.code === 'same-position')?.files).toEqual(['CT26.dcm', 'CT28.dcm'])
  })
})

describeWithData('a tilted gantry', 'phantom-skull-tilt-plus16', (folder) => {
  it('becomes a straight box, said with its angle', async () => {
    const { volume, report } = await loadScan(await inputsFromPath(folder))
    const warning = report.find((r) => r.code === 'tilt-resampled')
    expect(warning?.message).toContain('16.5 degrees')
    expect(volume.remarks.some((r) => r.code === 'tilt-resampled')).toBe(true)
    // 2.5 mm between positions, 2.397 along the normal; the box is straight.
    expect(volume.spacingMm[2]).toBeCloseTo(2.5 * Math.cos((16.5 * Math.PI) / 180), 4)
  })

  describeWithPython('against pydicom, NumPy and SciPy', ['numpy', 'pydicom', 'scipy'], (run) => {
    it('every voxel of the box is the linear value of its own slice at its own place', async () => {
      const { volume } = await loadScan(await inputsFromPath(folder))
      const { shape, indexToWorld, noData } = volume
      const work = await mkdtemp(join(tmpdir(), 'scan-'))
      try {
        run(
          `
import sys, glob, json, numpy, pydicom
from scipy.ndimage import map_coordinates
box = json.loads(sys.argv[3])
m = numpy.array(box['matrix']).reshape(4, 4).T
nx, ny, nz = box['shape']
slices = []
for f in sorted(glob.glob(sys.argv[1] + '/*')):
    try: slices.append(pydicom.dcmread(f))
    except pydicom.errors.InvalidDicomError: pass
iop = numpy.array(slices[0].ImageOrientationPatient, float)
normal = numpy.cross(iop[:3], iop[3:])
slices.sort(key=lambda d: numpy.dot(normal, numpy.array(d.ImagePositionPatient, float)))
out = numpy.empty((nz, ny, nx))
i, j = numpy.meshgrid(numpy.arange(nx), numpy.arange(ny))
for k, d in enumerate(slices):
    world = (m @ numpy.stack([i.ravel(), j.ravel(), numpy.full(i.size, k), numpy.ones(i.size)]))[:3]
    off = world - numpy.array(d.ImagePositionPatient, float)[:, None]
    assert abs(normal @ off).max() < 1e-3
    rows, cols = (iop[3:] @ off) / float(d.PixelSpacing[0]), (iop[:3] @ off) / float(d.PixelSpacing[1])
    grey = d.pixel_array * float(d.RescaleSlope) + float(d.RescaleIntercept)
    v = map_coordinates(grey, [rows, cols], order=1, mode='constant', cval=numpy.nan)
    tol = 1e-3
    outside = (rows < -tol) | (rows > grey.shape[0] - 1 + tol) | (cols < -tol) | (cols > grey.shape[1] - 1 + tol)
    v[outside] = numpy.nan
    out[k] = v.reshape(ny, nx)
out.astype('<f4').tofile(sys.argv[2])
`,
          [folder, join(work, 'box.raw'), JSON.stringify({ shape, matrix: indexToWorld })],
        )
        const bytes = await readFile(join(work, 'box.raw'))
        const truth = new Float32Array(bytes.buffer, bytes.byteOffset, bytes.length / 4)
        expect(truth.length).toBe(volume.data.length)
        let worst = 0
        let edge = 0
        for (let n = 0; n < truth.length; n++) {
          const [ours, theirs] = [volume.data[n] as number, truth[n] as number]
          if ((ours === noData) !== Number.isNaN(theirs)) edge++
          else if (ours !== noData) worst = Math.max(worst, Math.abs(ours - theirs))
        }
        // Whole numbers are stored: half a unit of rounding, and a thousandth of a voxel of place.
        expect(worst).toBeLessThan(1.6)
        expect(edge / truth.length).toBeLessThan(1e-4)
      } finally {
        await rm(work, { recursive: true })
      }
    })
  })
})

describeWithData('sagittal slices', 'sagittal-orientation', (folder) => {
  it('load with axes from the files', async () => {
    const { volume } = await loadScan(await inputsFromPath(folder))
    expect(volume.shape).toEqual([256, 256, 3])
    expect(volume.spacingMm[2]).toBeCloseTo(1.3, 4)
    for (const [x, y, z, value] of [
      [-17.3551, 41.0714, -123.2143, 30],
      [-17.3551, 62.0714, -111.2143, 37],
      [-18.6551, -108.9286, -77.2143, 13],
      [-19.9551, -66.9286, -33.2143, 10],
      [-19.9551, 77.0714, -91.2143, 52],
    ] as const)
      expect(voxelAt(volume, [x, y, z])).toBe(value)
  })
})
