import { css } from 'lit'

/** The picture's frame, its axes, its legend and what is read from it. */
export const chartStyle = css`
  :host {
    display: flex;
    flex-direction: column;
    min-height: 0;
    min-width: 0;
  }
  .title {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 0.75rem;
    align-items: center;
    min-height: 1.9rem;
  }
  .title h2 {
    margin: 0;
    white-space: nowrap;
  }
  .note-coarse {
    color: var(--ink-2);
    font-size: var(--small);
  }
  .title .choice {
    margin-left: auto;
  }
  p.printed {
    display: none;
  }
  .specs {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 1rem;
    justify-content: space-between;
    margin: 0.15rem 0 0.4rem;
  }
  .choice {
    display: flex;
    flex-wrap: wrap;
    gap: 0.1rem 0.4rem;
    align-items: center;
  }
  .tabs {
    display: flex;
    gap: 0.25rem;
  }
  .tabs button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
    white-space: nowrap;
  }
  @media (pointer: coarse) {
    .tabs button {
      min-height: 2.1rem;
    }
  }
  .drawing {
    position: relative;
    display: grid;
    flex: 1;
    grid-template: minmax(0, 1fr) 36px / 44px minmax(0, 1fr);
    min-height: 17rem;
    aspect-ratio: 1.75;
  }
  .plot {
    position: relative;
    grid-area: 1 / 2;
    overflow: hidden;
    border: 1px solid var(--frame);
    background: var(--panel);
    cursor: crosshair;
    user-select: none;
    -webkit-user-select: none;
    touch-action: pan-x pan-y;
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  .plot:focus {
    touch-action: none;
  }
  .plot canvas {
    position: absolute;
    inset: 0;
    width: 100%;
    height: 100%;
    image-rendering: pixelated;
  }
  .waiting {
    position: absolute;
    inset: auto 0 45%;
    text-align: center;
    font-size: var(--small);
    color: var(--ink-2);
  }
  svg.rows {
    position: static;
    grid-area: 1 / 1;
    overflow: visible;
  }
  svg.columns {
    position: static;
    grid-area: 2 / 2;
    overflow: visible;
  }
  .rows text,
  .columns text {
    fill: var(--ink);
    font-size: 12px;
  }
  .rows text.axis-name,
  .columns text.axis-name {
    fill: var(--ink-2);
  }
  line.tick {
    stroke: var(--ink);
  }
  @media (pointer: coarse) {
    .grip .area {
      r: 22px;
    }
  }
  .foot {
    container-type: inline-size;
    margin: 0.3rem 0 0;
    font-size: var(--small);
  }
  .told {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.9rem;
    align-content: start;
    min-height: 2.8em;
    font-size: var(--text);
  }
  .told > span {
    white-space: nowrap;
  }
  .told .where {
    font-weight: 600;
  }
  .told .below::after {
    content: ' ▾';
  }
  @container (max-width: 520px) {
    .told {
      min-height: 5.5em;
    }
  }
  .most {
    margin-top: 0.15rem;
  }
  .most svg.swatch {
    vertical-align: -1px;
  }
  .most b {
    font-weight: 600;
    white-space: nowrap;
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: 0.15rem 0.7rem;
    margin-top: 0.25rem;
    color: var(--ink-2);
  }
  .key {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    white-space: nowrap;
  }
  svg.swatch {
    position: static;
    width: 26px;
    height: 12px;
    background: #4a5472;
    border: 1px solid var(--frame);
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  svg.swatch.none {
    background: rgb(128 128 128 / 0.28);
  }
  .ramp {
    position: relative;
    display: inline-block;
    width: 4.5rem;
    height: 0.75rem;
    border: 1px solid var(--frame);
    forced-color-adjust: none;
    print-color-adjust: exact;
    -webkit-print-color-adjust: exact;
  }
  .ramp canvas {
    display: block;
    width: 100%;
    height: 100%;
  }
  .limit-tick {
    stroke: #ffffff;
    stroke-width: 2px;
    vector-effect: non-scaling-stroke;
  }
  @media print {
    /* Plot and axes as large to each other as they were drawn; printing does not draw them anew. */
    .drawing {
      flex: none;
      min-height: 0;
      aspect-ratio: auto;
      grid-template: calc(1px * var(--plot-height, 300)) 36px / 44px calc(1px * var(--plot-width, 560));
      zoom: var(--plot-zoom, 1);
    }
    .specs,
    .choice {
      display: none;
    }
    p.printed {
      display: block;
    }
    .foot {
      container-type: normal;
    }
    .told {
      min-height: 0;
    }
  }
  @media (forced-colors: active) {
    .rows text,
    .columns text {
      fill: CanvasText;
    }
    line.tick {
      stroke: CanvasText;
    }
  }
`
