import { css } from 'lit'

/** What is asked before a scan can be opened fills the sheet: its question large, the way back at the right. */
export const questionSheet = css`
  :host {
    display: block;
    background: var(--sheet);
    overflow: auto;
  }
  .head {
    display: flex;
    gap: 1rem;
    align-items: baseline;
    margin-bottom: 0.4rem;
  }
  .head h2 {
    margin: 0 auto 0 0;
    font-size: var(--large);
    color: var(--ink);
    letter-spacing: 0;
  }
`
