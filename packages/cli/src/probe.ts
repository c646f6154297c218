import { sampleAt, type Vec3 } from '@alveometer/core'
import { type CommandLine, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

/** Trilinear grey at points, null outside the scan or in no data; and what there is to know about the scan. */
export async function probe(line: CommandLine): Promise<unknown> {
  const points = readPoints(required(line, 'points'))
  const { volume } = await openScan(line)
  const { identity, spacingMm, remarks, confirmed } = volume
  return {
    scan: { ...identity, spacingMm, remarks, ...(confirmed === undefined ? {} : { confirmed }) },
    points: points.map((point) => ({ point, grey: sampleAt(volume, point), unit: volume.grey.unit })),
  }
}

function readPoints(text: string): Vec3[] {
  return text
    .split(';')
    .filter((part) => part.trim() !== '')
    .map((part) => {
      const numbers = part.split(',').map((n) => (n.trim() === '' ? Number.NaN : Number(n)))
      if (numbers.length !== 3 || !numbers.every(Number.isFinite))
        throw new UsageError(
          `--points: "${part}" is not x,y,z in mm; write "x,y,z;x,y,z" with a decimal point`,
        )
      return [numbers[0], numbers[1], numbers[2]]
    })
}
