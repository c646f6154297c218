import { css } from 'lit'

/** Headline, rows with their spread, and where placements end up. */
export const cloudStyle = css`
  :host {
    display: block;
    min-width: 0;
    container-type: inline-size;
  }
  .title {
    display: flex;
    gap: 0.75rem;
    align-items: baseline;
    min-height: 1.6rem;
  }
  .title h2 {
    margin: 0;
  }
  :host([stale]) .measured {
    opacity: 0.45;
  }
  .choice {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
  }
  .counted {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    align-items: center;
    margin-top: 0.4rem;
  }
  .counted button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
  }
  .error .fields {
    max-width: 20rem;
    margin-top: 0.4rem;
  }
  .source {
    margin-top: 0.25rem;
    max-width: 60ch;
  }
  .head {
    margin: 0.6rem 0;
    padding: 0.5rem 0;
    border-top: 1px solid var(--frame);
    border-bottom: 1px solid var(--frame);
  }
  .head strong {
    font-weight: 700;
    white-space: nowrap;
  }
  .head .keep strong {
    white-space: normal;
  }
  .keep {
    margin-top: 0.2rem;
  }
  caption {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  th,
  td,
  td:last-child {
    vertical-align: top;
    padding: 0.25rem 0.6rem 0.25rem 0;
  }
  tbody th {
    white-space: normal;
    color: var(--ink);
  }
  thead th:last-child,
  td.drawn {
    width: 132px;
    padding-right: 0;
    text-align: left;
  }
  td.drawn {
    line-height: 0;
  }
  .share {
    font-size: calc(var(--text) + 0.125rem);
    font-weight: 600;
  }
  .first th,
  .first .share {
    font-weight: 700;
  }
  .second {
    display: block;
    font-size: var(--small);
    font-weight: 400;
    color: var(--ink-2);
  }
  .second.fails,
  .second .below {
    color: var(--below);
  }
  .low::after {
    content: '\u00a0▾';
  }
  .narrow {
    display: none;
  }
  .defs {
    position: absolute;
    width: 0;
    height: 0;
  }
  .histogram {
    display: block;
    width: 132px;
    height: 30px;
  }
  .holding {
    fill: var(--ink-2);
  }
  .failing {
    fill: none;
    stroke: var(--below);
    stroke-width: 0.8;
  }
  .failing-line {
    stroke: var(--below);
    stroke-width: 1.4;
  }
  .base {
    stroke: var(--frame);
    stroke-width: 1;
  }
  .limit {
    stroke: var(--below);
    stroke-width: 2;
  }
  .beyond {
    fill: var(--below);
  }
  .planned {
    fill: var(--ink);
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: 0.15rem 0.9rem;
    justify-content: flex-end;
    margin: 0.25rem 0 0.6rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .key {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
  }
  .swatch {
    width: 18px;
    height: 10px;
  }
  .ends {
    width: auto;
    min-width: 60%;
  }
  .ends td,
  .ends td:last-child {
    text-align: right;
  }
  summary {
    cursor: pointer;
    font-size: var(--small);
    color: var(--ink-2);
    padding: 0.3rem 0;
  }
  @container (max-width: 559px) {
    .wide {
      display: none;
    }
    .narrow {
      display: block;
    }
    .ends {
      width: 100%;
    }
    th,
    td {
      padding-right: 0.4rem;
    }
    .ends thead th {
      white-space: normal;
    }
  }
  @media (forced-colors: active) {
    .holding,
    .planned,
    .beyond {
      fill: CanvasText;
    }
    .failing,
    .failing-line,
    .limit,
    .base {
      stroke: CanvasText;
    }
  }
  @media print {
    :host {
      container-type: normal;
    }
  }
`
