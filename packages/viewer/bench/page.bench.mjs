// A new pose on the page until its pictures and numbers stand on the screen: 1440 x 900, both pictures, whole assessment.
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { chromium } from 'playwright'

export async function rows({ measure, root }) {
  const script = (name) => import(pathToFileURL(join(root, 'scripts', name)).href)
  const { browserArguments, findBrowser } = await script('browser.mjs')
  const { ensurePage, pageFolder } = await script('page.mjs')
  const { ensureSample, sampleFolder } = await script('sample.mjs')
  const { startServer } = await script('serve.mjs')
  await ensureSample()
  await ensurePage()
  const server = await startServer({ root: pageFolder, sample: sampleFolder, port: 0 })
  const executablePath = findBrowser()
  const browser = await chromium.launch({
    args: browserArguments,
    ...(executablePath ? { executablePath } : {}),
  })
  try {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } })
    await page.goto(server.url)
    await page.waitForSelector('alv-chairside[data-state=ready]', { timeout: 100_000 })
    /** Moves to the n-th of 20 poses; resolves to the least margin once the state is ready and painted. */
    const pose = (n) =>
      page.evaluate(async (turn) => {
        const root = document.querySelector('alv-chairside')
        window.startPlan ??= root.session.plan
        const { fixture } = window.startPlan
        const [x, y, z] = fixture.platform
        const platform = [x + 0.02 * turn, y, z - 0.02 * turn]
        const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)))
        root.session.update({ ...window.startPlan, fixture: { ...fixture, platform } })
        do await painted()
        while (root.dataset.state !== 'ready')
        return root.assessment.margin.minimum.radialMm
      }, n)
    let turn = 0
    const poses = 20
    const measured = await measure(
      'pose change to repaint on the page (20 poses, per pose; frames of 16.7 ms, software drawing)',
      async () => {
        let sum = 0
        for (let n = 0; n < poses; n++) {
          turn = (turn + 1) % poses
          sum += await pose(turn)
        }
        return sum / poses
      },
      { warmup: 1, repeats: 5, per: poses },
    )
    return [measured]
  } finally {
    await browser.close()
    await server.close()
  }
}
