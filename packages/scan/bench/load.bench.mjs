// Reading the sample's DICOM series into a volume, zipped and as a folder, against pydicom and NumPy on the same files.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { upperFrontDefaults, upperFrontVolume, writeSeries, zipSeries } from '@alveometer/phantom'
import { loadScan } from '../dist/index.js'
import { inputsFromPath } from '../dist/node.js'

const peer = `
import io, json, os, sys, time, zipfile, numpy as np, pydicom
def sources(path):
    if os.path.isdir(path):
        return [os.path.join(path, n) for n in sorted(os.listdir(path))]
    z = zipfile.ZipFile(path)
    return (io.BytesIO(z.read(n)) for n in z.namelist())
t = []
for _ in range(5):
    s = time.perf_counter()
    d = sorted((pydicom.dcmread(f) for f in sources(sys.argv[1])), key=lambda x: float(x.ImagePositionPatient[2]))
    v = np.stack([x.pixel_array for x in d])
    keep = v != d[0].PixelPaddingValue
    total = int((v * int(d[0].RescaleSlope) + int(d[0].RescaleIntercept))[keep].sum(dtype=np.int64))
    t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000), 'sum': total}))
`

async function sumOfVoxels(path) {
  const { volume } = await loadScan(await inputsFromPath(path))
  let sum = 0
  for (const v of volume.data) if (v !== volume.noData) sum += v
  return sum
}

export async function rows({ measure, findPython, runPython }) {
  const scratch = mkdtempSync(join(tmpdir(), 'alveometer-bench-'))
  try {
    const files = writeSeries(upperFrontVolume(upperFrontDefaults))
    const zip = join(scratch, 'scan.zip')
    const folder = join(scratch, 'scan')
    writeFileSync(zip, zipSeries(files))
    mkdirSync(folder)
    for (const { name, bytes } of files) writeFileSync(join(folder, name), bytes)
    const script = join(scratch, 'peer.py')
    writeFileSync(script, peer)
    const modules = ['numpy', 'pydicom']
    const results = []
    for (const [what, path] of Object.entries({ zip, folder })) {
      const name = `${what} of 225 slices of 250 x 250: headers checked, one array, padding as no data`
      const ours = await measure(name, () => sumOfVoxels(path), { warmup: 2, repeats: 7 })
      if (findPython(modules) === undefined) {
        results.push(ours)
        continue
      }
      const { median, sum } = runPython(script, [path], { modules })
      const checksum = Number(sum.toPrecision(9)).toString()
      results.push({ ...ours, peer: { name: 'pydicom + NumPy', median, checksum } })
    }
    return results
  } finally {
    rmSync(scratch, { recursive: true })
  }
}
