import { css } from 'lit'

/** The sheet: section at the left, collar and map beside it, numbers at the right, title block along the foot. */
export const chairsideStyle = css`
  :host {
    display: grid;
    grid-template: auto minmax(0, 1fr) auto / minmax(0, 1fr);
    height: 100dvh;
    background: var(--sheet);
    color-scheme: light dark;
  }
  :host([sheet='paper']) {
    color-scheme: light;
  }
  :host([sheet='night']) {
    color-scheme: dark;
  }
  :host([data-late]) .numbers,
  :host([data-late]) .map {
    opacity: 0.45;
  }
  .spoken {
    position: absolute;
    width: 1px;
    height: 1px;
    overflow: hidden;
    clip-path: inset(50%);
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: 0.4rem 0.5rem;
    padding: 0.6rem 1rem 0.5rem;
  }
  h1 {
    margin: 0 auto 0 0;
    font-size: var(--large);
    font-weight: 600;
    letter-spacing: 0.01em;
  }
  .gap {
    width: 0.75rem;
  }
  main {
    display: grid;
    grid-template: minmax(0, 1.15fr) minmax(0, 1fr) auto / minmax(0, 1.72fr) minmax(0, 1fr) minmax(17rem, 0.86fr);
    grid-template-areas: 'section top numbers' 'section map numbers' 'place map numbers';
    gap: 0.75rem 1.25rem;
    padding: 0 1rem 0.75rem;
    min-height: 0;
  }
  .strip {
    display: contents;
  }
  figure {
    display: flex;
    flex-direction: column;
    margin: 0;
    min-height: 0;
    min-width: 0;
  }
  figcaption {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem 0.9rem;
    align-items: center;
    min-height: 1.9rem;
    margin-bottom: 0.25rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  figcaption strong {
    color: var(--ink-2);
    letter-spacing: 0.04em;
    margin-right: auto;
  }
  figcaption button {
    min-height: 1.5rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
  }
  figcaption label {
    display: inline-flex;
    align-items: center;
    gap: 0.35rem;
  }
  input[type='range'] {
    width: 5rem;
    accent-color: var(--ink);
  }
  figure > alv-section,
  figure > alv-collar,
  figure > alv-crown-view,
  figure > alv-scene {
    flex: 1;
  }
  .section {
    grid-area: section;
  }
  .top {
    grid-area: top;
  }
  .map {
    grid-area: map;
  }
  .place {
    grid-area: place;
  }
  .tabs {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    align-items: center;
  }
  .place > .tabs {
    margin-bottom: 0.3rem;
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
  .modes {
    margin-right: 0.75rem;
  }
  @media screen {
    .off {
      display: none;
    }
  }
  .numbers {
    grid-area: numbers;
    display: flex;
    flex-direction: column;
    gap: 0.9rem;
    min-height: 0;
    overflow: auto;
    scrollbar-width: thin;
    padding: 0.45rem 0.25rem 0 0;
  }
  .group {
    display: flex;
    flex-direction: column;
    gap: 0.9rem;
  }
  .calibrate > summary {
    cursor: pointer;
    padding: 0.2rem 0;
    font-size: var(--small);
    color: var(--ink-2);
  }
  alv-title-block {
    margin: 0 1rem 0.75rem;
  }
  .notice {
    margin: 0 1rem 0.5rem;
    padding: 0.5rem 0.75rem;
    border: 1px solid var(--frame);
    background: var(--panel);
  }
  .notice.row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.5rem 0.75rem;
    align-items: center;
  }
  .notice.row > p {
    flex: 1 1 18rem;
  }
  main.asking {
    display: block;
    overflow: auto;
    padding: 0.5rem 1rem 0.75rem;
  }
  main.asking > alv-geometry-check {
    height: 100%;
  }
  main.asking[inert] {
    opacity: 0.6;
  }
  .notice.warn {
    border-left: 4px solid var(--below);
  }
  .drop {
    position: fixed;
    inset: 0.75rem;
    display: grid;
    place-items: center;
    border: 2px dashed var(--hand);
    background: color-mix(in srgb, var(--sheet) 88%, transparent);
    font-size: var(--large);
    pointer-events: none;
    z-index: 1;
  }
  @media screen and (max-width: 1560px) {
    .counted > .where {
      display: none;
    }
  }
  @media screen and (max-width: 1180px) {
    header {
      gap: 0.4rem 0.3rem;
    }
    header button {
      padding: 0.15rem 0.45rem;
    }
    header .gap,
    .modes {
      width: auto;
      margin-right: 0.3rem;
    }
    .top > figcaption {
      gap: 0.25rem 0.4rem;
    }
    .tabs {
      gap: 0.15rem;
    }
    .tabs button {
      padding: 0.05rem 0.35rem;
    }
    input[type='range'] {
      width: 3.5rem;
    }
    alv-title-block {
      margin: 0 0.75rem 0.6rem;
    }
    main {
      gap: 0.6rem 0.9rem;
      padding: 0 0.75rem 0.6rem;
      grid-template-columns: minmax(0, 1.6fr) minmax(0, 1fr) minmax(16rem, 0.9fr);
    }
  }
  @media screen and (max-width: 760px) {
    :host {
      height: auto;
      min-height: 100dvh;
      grid-template-rows: auto 1fr auto;
    }
    header {
      padding: 0.5rem 0.75rem;
    }
    .roomy,
    .gap {
      display: none;
    }
    main {
      display: block;
      padding: 0;
    }
    main.asking {
      overflow: visible;
      padding: 0.25rem 0.75rem;
    }
    main.asking > alv-geometry-check {
      height: auto;
    }
    .section {
      height: min(118vw, 72dvh);
      padding: 0 0.5rem;
      margin-bottom: 0.75rem;
    }
    .strip {
      display: flex;
      gap: 0.75rem;
      overflow-x: auto;
      scroll-snap-type: x mandatory;
      padding: 0 0.75rem 0.5rem;
      scroll-padding: 0.75rem;
    }
    .strip > :not(.numbers),
    .group {
      flex: 0 0 calc(100vw - 3rem);
      scroll-snap-align: start;
      height: 24rem;
      overflow-y: auto;
    }
    .strip > .numbers {
      display: contents;
    }
    alv-title-block {
      margin: 0.5rem 0.75rem;
    }
  }
`
