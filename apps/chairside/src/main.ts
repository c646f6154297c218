import { defineElements } from '@alveometer/viewer'
import { explain } from './explain.js'

defineElements()

/** `?scan=` opens another scan of this origin, `?plan=` a plan with it. */
const asked = new URLSearchParams(location.search)
for (const page of document.querySelectorAll('alv-chairside')) {
  page.explain = explain
  const scan = asked.get('scan')
  if (scan === null) continue
  page.scanSource = scan
  page.planSource = asked.get('plan')
}
