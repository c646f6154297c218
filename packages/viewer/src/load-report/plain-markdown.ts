import { html, type TemplateResult } from 'lit'

/** The part of Markdown that explanations are written in; everything else, HTML included, is text. */
export type Block =
  | { readonly kind: 'heading' | 'paragraph' | 'code'; readonly text: string }
  | { readonly kind: 'list'; readonly ordered: boolean; readonly items: readonly string[] }

const item = /^\s*(?:[-*]|(\d+)[.)])\s+(.*)$/
const heading = /^#{1,6}\s+(.*)$/

export function readMarkdown(text: string): Block[] {
  const blocks: Block[] = []
  let open: string[] = []
  const close = (): void => {
    if (open.length > 0) blocks.push({ kind: 'paragraph', text: open.join(' ') })
    open = []
  }
  const lines = text.split(/\r?\n/)
  for (let n = 0; n < lines.length; n++) {
    const line = lines[n] ?? ''
    const title = heading.exec(line)
    const point = item.exec(line)
    if (line.startsWith('```')) {
      close()
      const end = lines.indexOf('```', n + 1)
      const last = end < 0 ? lines.length : end
      blocks.push({ kind: 'code', text: lines.slice(n + 1, last).join('\n') })
      n = last
    } else if (title) {
      close()
      blocks.push({ kind: 'heading', text: title[1] ?? '' })
    } else if (point) {
      close()
      const ordered = point[1] !== undefined
      const before = blocks.at(-1)
      const follows = before?.kind === 'list' && before.ordered === ordered && (lines[n - 1] ?? '') !== ''
      if (follows) blocks.splice(-1, 1, { ...before, items: [...before.items, point[2] ?? ''] })
      else blocks.push({ kind: 'list', ordered, items: [point[2] ?? ''] })
    } else if (line.trim() === '') close()
    else open.push(line.trim())
  }
  close()
  return blocks
}

export const showMarkdown = (text: string): TemplateResult[] => readMarkdown(text).map(showBlock)

function showBlock(block: Block): TemplateResult {
  if (block.kind === 'list') {
    const items = block.items.map((text) => html`<li>${inline(text)}</li>`)
    return block.ordered ? html`<ol>${items}</ol>` : html`<ul>${items}</ul>`
  }
  if (block.kind === 'heading') return html`<p><strong>${inline(block.text)}</strong></p>`
  if (block.kind === 'code') return html`<pre>${block.text}</pre>`
  return html`<p>${inline(block.text)}</p>`
}

/** `code`, **strong** and the words of links. */
const inline = (text: string): (string | TemplateResult)[] =>
  text
    .replace(/\[([^\]]*)\]\([^)]*\)/g, '$1')
    .split(/(`[^`]+`|\*\*[^*]+\*\*)/)
    .map((part) => {
      if (part.startsWith('`') && part.length > 2) return html`<code>${part.slice(1, -1)}</code>`
      if (part.startsWith('**') && part.length > 4) return html`<strong>${part.slice(2, -2)}</strong>`
      return part
    })
