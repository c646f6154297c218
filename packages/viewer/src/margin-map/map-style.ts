import { css } from 'lit'

/** The map, its axes and its legend. */
export const mapStyle = css`
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
  }
  .plot {
    position: relative;
    flex: 1;
    min-height: 9rem;
    margin: 0 0 0 2.4rem;
    border: 1px solid var(--frame);
    cursor: crosshair;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  @media print {
    .plot {
      min-height: 0;
    }
    .foot {
      min-height: 0;
    }
  }
  canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    image-rendering: pixelated;
  }
  .lowline {
    stroke: var(--below-line);
    stroke-width: 1.3;
  }
  path.noneline {
    stroke: var(--ink-2);
    stroke-width: 0.8;
  }
  .level {
    stroke: #ffffff;
    stroke-width: 1.4;
    stroke-dasharray: 6 4;
  }
  .level.cas {
    stroke: #000000;
    stroke-width: 3.4;
    stroke-dasharray: none;
    opacity: 0.7;
  }
  .spot {
    fill: none;
    stroke: #ffffff;
    stroke-width: 1.6;
  }
  .spot.cas {
    stroke: #000000;
    stroke-width: 4;
    opacity: 0.75;
  }
  svg.at {
    position: static;
    overflow: visible;
  }
  .tick {
    stroke: var(--ink);
  }
  .axis {
    position: relative;
    height: 1.3rem;
    margin-left: 2.4rem;
    font-size: var(--small);
  }
  .axis span {
    position: absolute;
    top: 0.15rem;
    transform: translateX(-50%);
  }
  .axis .q4 {
    transform: translateX(-100%);
  }
  .q0 {
    left: 0;
  }
  .q1 {
    left: 25%;
  }
  .q2 {
    left: 50%;
  }
  .q3 {
    left: 75%;
  }
  .q4 {
    left: 100%;
  }
  svg.depths {
    inset: 0 100% 0 auto;
    width: 2.4rem;
    overflow: visible;
  }
  .depths text {
    font-size: 12px;
    fill: var(--ink);
    stroke: none;
  }
  .foot {
    display: flex;
    gap: 0.1rem 0.75rem;
    align-items: center;
    flex-wrap: wrap;
    margin: 0.15rem 0 0 2.4rem;
    font-size: var(--small);
    min-height: 2.2em;
  }
  .legend {
    flex: none;
    display: grid;
    grid-template-columns: auto 5.5rem auto;
    gap: 0.3rem;
    align-items: center;
  }
  .legend canvas {
    position: static;
    height: 0.7rem;
    border: 1px solid var(--frame);
    image-rendering: auto;
  }
  text.value {
    font-weight: 600;
  }
`
