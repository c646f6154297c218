import { css } from 'lit'

/** Three pictures at the left, the questions beside them. */
export const checkStyle = css`
  section {
    display: grid;
    grid-template-rows: auto auto minmax(0, 1fr);
    height: 100%;
    min-height: 0;
  }
  .lead {
    max-width: 62rem;
    margin-bottom: 0.75rem;
    overflow-wrap: anywhere;
  }
  .body {
    display: grid;
    grid-template-columns: minmax(0, 1fr) minmax(20rem, 26rem);
    gap: 1.25rem;
    min-height: 0;
  }
  .pictures {
    display: grid;
    grid-template: minmax(0, 1fr) minmax(0, 1fr) / minmax(0, 1.7fr) minmax(0, 1fr);
    grid-template-areas: 'slice front' 'slice side';
    gap: 0.75rem 1rem;
    min-height: 0;
  }
  figure {
    display: grid;
    grid-template-rows: auto minmax(0, 1fr);
    margin: 0;
    min-height: 0;
    min-width: 0;
  }
  figure:nth-of-type(1) {
    grid-area: slice;
  }
  figure:nth-of-type(2) {
    grid-area: front;
  }
  figure:nth-of-type(3) {
    grid-area: side;
  }
  figcaption {
    display: flex;
    flex-wrap: wrap;
    gap: 0.1rem 0.75rem;
    align-items: center;
    min-height: 1.9rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  figcaption strong {
    margin-right: auto;
  }
  figcaption label {
    display: inline-flex;
    gap: 0.4rem;
    align-items: center;
  }
  input[type='range'] {
    width: 7rem;
    accent-color: var(--ink);
  }
  .steps {
    display: flex;
    flex-direction: column;
    gap: 0.75rem;
    min-height: 0;
    overflow: auto;
    scrollbar-width: thin;
    padding: 0 0.25rem 0.25rem 0;
  }
  fieldset {
    margin: 0;
    padding: 0.5rem 0.75rem 0.7rem;
    border: 1px solid var(--frame);
    background: var(--panel);
    min-width: 0;
    display: grid;
    gap: 0.35rem;
  }
  fieldset.done {
    border-color: var(--rule);
  }
  legend {
    padding: 0 0.4rem;
    margin-left: -0.4rem;
    font-weight: 600;
  }
  legend .tick {
    font-weight: 400;
    color: var(--ink-2);
    font-size: var(--small);
  }
  fieldset p {
    font-size: var(--small);
    color: var(--ink-2);
  }
  .way {
    display: flex;
    gap: 0.45rem;
    align-items: baseline;
    min-height: 1.5rem;
  }
  input[type='radio'] {
    accent-color: var(--hand);
    margin: 0;
    transform: translateY(0.1rem);
  }
  .typed {
    display: inline-flex;
    gap: 0.3rem;
    align-items: baseline;
  }
  input[type='number'] {
    width: 5rem;
    min-height: 1.75rem;
    padding: 0 0.2rem;
    border: 0;
    border-bottom: 1px solid var(--hand);
    background: none;
    color: var(--hand);
    appearance: textfield;
  }
  input[type='number']::-webkit-inner-spin-button {
    display: none;
  }
  .inset {
    padding-left: 1.35rem;
    display: grid;
    gap: 0.25rem;
  }
  .pair {
    display: grid;
    grid-template-columns: auto 1fr;
    gap: 0.35rem 0.6rem;
    align-items: center;
  }
  .result {
    font-size: var(--text);
    color: var(--ink);
  }
  fieldset p.result {
    font-size: var(--text);
    color: var(--ink);
  }
  .problem {
    border-left: 4px solid var(--below);
    padding: 0.1rem 0 0.1rem 0.75rem;
  }
  .sum {
    position: sticky;
    bottom: -0.25rem;
    margin-top: auto;
    padding: 0.6rem 0 0.4rem;
    border-top: 1px solid var(--frame);
    background: var(--sheet);
    display: flex;
    flex-wrap: wrap;
    gap: 0.4rem 0.75rem;
    align-items: center;
  }
  .sum > p {
    flex: 1 1 12rem;
  }
  .sum > .problem {
    flex-basis: 100%;
  }
  .confirm {
    border-color: var(--hand);
    color: var(--hand);
    min-height: 2.25rem;
    font-weight: 600;
  }
  .confirm:hover:not(:disabled) {
    background: var(--hand);
    color: var(--panel);
  }
  .confirm:disabled {
    border-color: var(--rule);
    color: var(--ink-2);
    font-weight: 400;
  }
  @media screen and (max-width: 1180px) {
    .body {
      grid-template-columns: minmax(0, 1fr) 18rem;
      gap: 0.9rem;
    }
    input[type='range'] {
      width: 5rem;
    }
    .pair {
      grid-template-columns: minmax(0, 1fr);
      gap: 0.1rem;
    }
  }
  /* On a phone each question follows the picture it is answered on. */
  @media screen and (max-width: 760px) {
    section {
      display: block;
    }
    .body {
      display: flex;
      flex-direction: column;
      gap: 0.75rem;
    }
    .pictures,
    .steps {
      display: contents;
    }
    figure {
      grid-template-rows: auto 78vw;
    }
    figure:nth-of-type(n + 2) {
      grid-template-rows: auto 56vw;
      order: 2;
    }
    figure:nth-of-type(3) {
      order: 4;
    }
    .pixel {
      order: 1;
    }
    .step {
      order: 3;
    }
    .sides {
      order: 5;
    }
    .sum {
      order: 6;
      position: static;
    }
    .pair {
      grid-template-columns: auto minmax(0, 1fr);
      gap: 0.35rem 0.6rem;
    }
  }
`
