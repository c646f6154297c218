// Reading the sample's DICOM zip into a volume, against pydicom and NumPy on the same file.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { upperFrontDefaults, upperFrontVolume, writeSeries, zipSeries } from '@alveometer/phantom'
import { loadScan } from '../dist/index.js'
import { inputsFromPath } from '../dist/node.js'

export async function rows({ measure, findPython, runPython }) {
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-bench-'))
  try {
    const zip = join(folder, 'scan.zip')
    writeFileSync(zip, zipSeries(writeSeries(upperFrontVolume(upperFrontDefaults))))
    const ours = await measure(
      'zip of 225 slices of 250 x 250: headers checked, one array, padding as no data',
      async () => {
        const { volume } = await loadScan(await inputsFromPath(zip))
        let sum = 0
        for (const v of volume.data) if (v !== volume.noData) sum += v
        return sum
      },
      { warmup: 1, repeats: 5 },
    )
    if (findPython(['numpy', 'pydicom']) === undefined) return [ours]
    const script = join(folder, 'peer.py')
    writeFileSync(
      script,
      `
import io, json, sys, time, zipfile, numpy as np, pydicom
t = []
for _ in range(5):
    s = time.perf_counter()
    z = zipfile.ZipFile(sys.argv[1])
    d = sorted((pydicom.dcmread(io.BytesIO(z.read(n))) for n in z.namelist()), key=lambda x: float(x.ImagePositionPatient[2]))
    v = np.stack([x.pixel_array for x in d])
    keep = v != d[0].PixelPaddingValue
    total = int((v * int(d[0].RescaleSlope) + int(d[0].RescaleIntercept))[keep].sum(dtype=np.int64))
    t.append(time.perf_counter() - s)
print(json.dumps({'median': float(np.median(t) * 1000), 'sum': total}))
`,
    )
    const { median, sum } = runPython(script, [zip], { modules: ['numpy', 'pydicom'] })
    return [
      { ...ours, peer: { name: 'pydicom + NumPy', median, checksum: Number(sum.toPrecision(9)).toString() } },
    ]
  } finally {
    rmSync(folder, { recursive: true })
  }
}
