import { css } from 'lit'

/** The rows of the crown's form: numbers and buttons on one line where there is room. */
export const formStyle = css`
  :host {
    display: block;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem 0.6rem;
    align-items: end;
  }
  .row > .fields {
    flex: 1 1 12rem;
  }
  .row.few > .fields {
    --field: 6rem;
    flex: 1 1 20rem;
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 0.3rem;
    align-items: center;
  }
  .tools button,
  .tools select {
    min-height: 1.6rem;
    padding: 0.05rem 0.45rem;
    font-size: var(--small);
  }
  .tools select {
    max-width: 7.5rem;
  }
  .from {
    flex: 1 1 7rem;
    min-width: 0;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .picks {
    display: grid;
    flex: 1 1 22rem;
    grid-template-columns: repeat(auto-fit, minmax(6.2rem, 1fr));
    gap: 0.3rem 0.6rem;
  }
  .pick {
    font-size: var(--small);
    color: var(--ink-2);
    white-space: nowrap;
  }
  .pick .tools {
    flex-wrap: nowrap;
  }
  .said {
    margin-top: 0.25rem;
    font-size: var(--small);
  }
  .problem {
    padding-left: 0.5rem;
    border-left: 4px solid var(--below);
  }
  .row > details[open] {
    flex: 1 1 100%;
  }
  details > summary {
    cursor: pointer;
    font-size: var(--small);
    color: var(--ink-2);
    padding: 0.15rem 0;
  }
  details p {
    font-size: var(--small);
    color: var(--ink-2);
  }
  @media screen {
    :host([tabbed]) h2 {
      display: none;
    }
  }
  @media print {
    .tools,
    details {
      display: none;
    }
    .row > .fields,
    .row.few > .fields {
      --field: 4.3rem;
    }
  }
`
