import { css } from 'lit'

/** One part of the decision at a time, as high as the room it is given. */
export const decisionStyle = css`
  :host {
    position: relative;
    display: flex;
    flex-direction: column;
    gap: 0.5rem;
    min-height: 0;
    min-width: 0;
  }
  :host(:not([open])) {
    display: none;
  }
  .tabs {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    align-items: center;
  }
  .head {
    min-height: 1.9rem;
  }
  .tabs button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
  }
  .counted {
    margin-left: 0.4rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .part {
    flex: 1;
    min-height: 0;
    overflow: auto;
    scrollbar-width: thin;
    display: flex;
    flex-direction: column;
    gap: 0.5rem;
    padding-right: 0.25rem;
  }
  alv-tilt-chart {
    flex: 1;
    min-height: 24rem;
  }
  .beside {
    display: flex;
    flex-wrap: wrap;
    gap: 1rem;
    align-items: flex-start;
  }
  .beside > alv-miss-cloud {
    flex: 3 1 22rem;
    min-width: 0;
  }
  .beside > figure {
    display: flex;
    flex-direction: column;
    flex: 1 1 15rem;
    margin: 0;
    min-width: 0;
  }
  figcaption {
    margin-bottom: 0.35rem;
    font-size: var(--small);
    font-weight: 600;
    letter-spacing: 0.04em;
    color: var(--ink-2);
  }
  .beside alv-collar {
    flex: none;
    height: 17rem;
  }
  @media screen {
    /* Laid out all the same, so that its drawings have their size when they are printed. */
    .part.off {
      position: absolute;
      inset: 0 0 auto;
      max-height: 100%;
      overflow: hidden;
      visibility: hidden;
    }
  }
  @media screen and (max-width: 760px) {
    .part {
      overflow: visible;
    }
  }
  @media print {
    .tabs {
      display: none;
    }
    .part {
      overflow: visible;
      break-inside: avoid;
      margin-bottom: 4mm;
    }
  }
`
