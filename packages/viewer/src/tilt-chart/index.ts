export { AlvTiltChart } from './alv-tilt-chart.js'
export type { ChartPlace } from './chart-grid.js'
export type { ChartView } from './chart-views.js'
