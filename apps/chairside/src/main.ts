import { defineElements } from '@alveometer/viewer'
import { explain } from './explain.js'

defineElements()

/** `?scan=` opens another scan of this origin, `?plan=` a plan with it. */
const asked = new URLSearchParams(location.search)
const isOurs = (address: string): boolean => new URL(address, document.baseURI).origin === location.origin

for (const page of document.querySelectorAll('alv-chairside')) {
  page.explain = explain
  const [scan, plan] = [asked.get('scan'), asked.get('plan')]
  if (scan === null) continue
  if (isOurs(scan) && (plan === null || isOurs(plan))) {
    page.scanSource = scan
    page.planSource = plan
  } else {
    page.scanSource = null
    page.workbench.refuse(
      'A link can only open scans and plans that lie beside this page. Open the scan from a file.',
    )
  }
}
