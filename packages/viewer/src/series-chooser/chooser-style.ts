import { css } from 'lit'

/** Cards in columns, each a drawing of its series with its numbers beside. */
export const chooserStyle = css`
  :host(:focus) {
    outline: none;
  }
  .alarm {
    border: 2px solid var(--below);
    padding: 0.5rem 0.75rem;
    margin-bottom: 0.9rem;
    font-size: calc(var(--text) + 0.125rem);
    font-weight: 600;
  }
  .alarm:focus {
    outline: none;
  }
  .alarm span {
    color: var(--below);
  }
  .patient {
    margin-bottom: 1.1rem;
  }
  .several .patient {
    border-left: 4px solid var(--below);
    padding-left: 0.75rem;
  }
  h3 {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 0.1rem 1.25rem;
    margin: 0 0 0.4rem;
    font-size: var(--text);
    font-weight: 400;
    overflow-wrap: anywhere;
  }
  h3 strong {
    font-size: var(--large);
    font-weight: 600;
  }
  .cards {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(24rem, 100%), 30rem));
    gap: 0.75rem;
    margin: 0;
    padding: 0;
    list-style: none;
    align-items: start;
  }
  .card {
    border: 1px solid var(--frame);
    background: var(--panel);
  }
  .card.out {
    border-color: var(--rule);
  }
  .face {
    display: grid;
    grid-template-columns: 6.5rem minmax(0, 1fr);
    gap: 0.75rem;
    width: 100%;
    padding: 0.6rem;
    text-align: left;
  }
  button.face {
    border: 0;
    border-radius: 0;
    background: none;
  }
  button.face:hover:not(:disabled) {
    background: none;
    color: inherit;
    box-shadow: inset 0 0 0 2px var(--hand);
  }
  button.face:focus-visible {
    outline-offset: -2px;
  }
  .picture {
    display: grid;
    place-items: center;
    width: 6.5rem;
    height: 6.5rem;
    background: #606060;
    color: #ffffff;
    font-size: var(--small);
  }
  canvas {
    max-width: 100%;
    max-height: 100%;
  }
  .what {
    display: flex;
    flex-direction: column;
    gap: 0.1rem;
    min-width: 0;
  }
  .name {
    display: flex;
    gap: 0.5rem;
    align-items: baseline;
    overflow-wrap: anywhere;
  }
  .name b {
    margin-right: auto;
    font-weight: 600;
  }
  .do {
    flex: none;
    padding: 0 0.6rem;
    border: 1px solid var(--hand);
    color: var(--hand);
    border-radius: 2px;
  }
  button.face:hover .do {
    background: var(--hand);
    color: var(--panel);
  }
  .tag {
    flex: none;
    font-size: var(--small);
    color: var(--ink-2);
    border: 1px solid var(--rule);
    padding: 0 0.4rem;
  }
  .tag.no {
    color: var(--below);
    border-color: var(--below);
  }
  .facts {
    display: grid;
    grid-template-columns: auto 1fr;
    gap: 0 0.6rem;
    font-size: var(--small);
  }
  .facts > :nth-child(odd) {
    color: var(--ink-2);
  }
  .reasons {
    padding: 0 0.6rem 0.5rem;
  }
  .reasons > button {
    margin-bottom: 0.4rem;
    border-color: var(--hand);
    color: var(--hand);
  }
  .reasons > button:hover:not(:disabled) {
    background: var(--hand);
    color: var(--panel);
  }
  .found > summary {
    cursor: pointer;
    padding: 0.2rem 0;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .rest {
    margin-top: 0.5rem;
  }
`
