import { css } from 'lit'

/** The map, its axes and its legend. */
export const mapStyle = css`
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
  }
  .title {
    display: flex;
    gap: 0.25rem 0.75rem;
    align-items: center;
    min-height: 1.9rem;
    margin-bottom: 0.25rem;
  }
  .title h2 {
    margin: 0 auto 0 0;
    white-space: nowrap;
  }
  .views {
    display: flex;
    gap: 0.25rem;
  }
  .views button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
    white-space: nowrap;
  }
  .times {
    margin: 0 0 0.25rem 2.65rem;
  }
  .plot {
    position: relative;
    flex: 1;
    min-height: 9rem;
    margin: 0 0 0 2.65rem;
    border: 1px solid var(--frame);
    cursor: crosshair;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  @media print {
    .plot {
      min-height: 0;
    }
    .told {
      min-height: 0;
    }
    .views button:not([aria-pressed='true']) {
      display: none;
    }
  }
  canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    image-rendering: pixelated;
  }
  .waits canvas {
    opacity: 0.35;
  }
  .waiting {
    position: absolute;
    inset: auto 0 40%;
    text-align: center;
    font-size: var(--small);
  }
  .waiting > span {
    padding: 0.15rem 0.4rem;
    background: var(--panel);
  }
  .lowline {
    stroke: var(--below-line);
    stroke-width: 1.3;
  }
  path.noneline {
    stroke: var(--ink-2);
    stroke-width: 0.8;
  }
  .dot {
    fill: #ffffff;
  }
  .dot.cas {
    fill: #000000;
    opacity: 0.75;
  }
  path.grid {
    stroke: #ffffff;
    stroke-width: 0.8;
  }
  path.grid.cas {
    stroke: #000000;
    stroke-width: 2;
    opacity: 0.6;
  }
  .ring {
    fill: none;
    stroke: #ffffff;
    stroke-width: 1.3;
  }
  .ring.cas {
    stroke: #000000;
    stroke-width: 3.2;
    opacity: 0.75;
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
    margin-left: 2.65rem;
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
    width: 2.65rem;
    overflow: visible;
  }
  .depths text {
    font-size: 12px;
    fill: var(--ink);
    stroke: none;
  }
  .foot {
    margin: 0.2rem 0 0 2.65rem;
    font-size: var(--small);
  }
  .legend {
    display: flex;
    gap: 0.3rem;
    align-items: center;
    white-space: nowrap;
  }
  .legend canvas {
    position: static;
    flex: 0 1 4.5rem;
    min-width: 2rem;
    width: 0;
    height: 0.7rem;
    border: 1px solid var(--frame);
    image-rendering: auto;
  }
  .mode {
    margin-left: auto;
    color: var(--ink-2);
  }
  /* What is told about a cell takes the place of the keys: nothing moves when the hand goes over the map. */
  .told {
    display: grid;
    align-content: start;
    min-height: 3.1em;
    margin-top: 0.2rem;
  }
  @media screen and (max-width: 1180px) {
    .told {
      min-height: 4.4em;
    }
  }
  .told > p {
    grid-area: 1 / 1;
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: 0.1rem 0.7rem;
  }
  .key {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
  }
  svg.swatch {
    position: static;
    width: 18px;
    height: 12px;
    background: #4a5472;
    border: 1px solid var(--frame);
  }
  svg.swatch.none {
    background: rgb(128 128 128 / 0.28);
  }
  text.value {
    font-weight: 600;
  }
`
