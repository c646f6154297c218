import { css } from 'lit'

/** The questions about a crown's mesh file, between the buttons and the drawings. */
export const importStyle = css`
  :host {
    display: block;
  }
  h2 {
    font-size: var(--text);
    color: var(--ink);
    letter-spacing: 0;
  }
  ul {
    margin: 0.25rem 0 0;
    padding-left: 1.1rem;
    font-size: var(--small);
  }
  .asked,
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.4rem 1.5rem;
    align-items: center;
    margin-top: 0.45rem;
  }
  .row {
    gap: 0.4rem 0.6rem;
  }
  fieldset {
    display: flex;
    flex-wrap: wrap;
    gap: 0.25rem;
    align-items: center;
    margin: 0;
    padding: 0;
    border: 0;
  }
  legend {
    float: left;
    padding: 0 0.5rem 0 0;
    font-size: var(--small);
    color: var(--ink-2);
  }
  fieldset button {
    min-height: 1.6rem;
    padding: 0.05rem 0.5rem;
    font-size: var(--small);
  }
  .problem {
    margin-top: 0.4rem;
    padding-left: 0.5rem;
    border-left: 4px solid var(--below);
  }
`
