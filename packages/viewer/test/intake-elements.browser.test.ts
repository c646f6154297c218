import { afterEach, describe, expect, test } from 'vitest'
import { type AlvEvents, defineElements } from '../src/index.js'
import { readMarkdown } from '../src/load-report/plain-markdown.js'
import {
  madeUpOffer,
  madeUpPicture,
  madeUpPreview,
  madeUpSeries,
  refused,
  scout,
  unplaced,
} from './intake.js'
import { mountedAt, settled, type Tag } from './mounted.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const mounted = <T extends Tag>(tag: T, set: Partial<HTMLElementTagNameMap[T]>) =>
  mountedAt([1100, 700], tag, set)

/** Everything written in an element and the elements in it. */
const text = (element: Element): string => {
  const root = element.shadowRoot ?? element
  const own = [...root.childNodes].map((node): string => {
    if (node instanceof Text) return node.data
    return node instanceof Element && !(node instanceof HTMLStyleElement) ? text(node) : ''
  })
  return own.join('').replace(/\s+/g, ' ')
}

const all = <T extends Element = HTMLElement>(element: Element, selector: string): T[] => [
  ...(element.shadowRoot?.querySelectorAll<T>(selector) ?? []),
]
const one = <T extends Element = HTMLElement>(element: Element, selector: string, n = 0): T => {
  const found = all<T>(element, selector)[n]
  if (!found) throw new Error(`no ${selector} ${n}`)
  return found
}
const press = (element: Element, key: string, more: KeyboardEventInit = {}): boolean =>
  element.dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )
const heard = <K extends keyof AlvEvents>(element: Element, name: K): AlvEvents[K]['detail'][] => {
  const details: AlvEvents[K]['detail'][] = []
  element.addEventListener(name, (event) => details.push((event as AlvEvents[K]).detail))
  return details
}
const type = (input: HTMLInputElement, value: string): void => {
  input.value = value
  input.dispatchEvent(new Event('input', { bubbles: true }))
}

describe('the series chooser', () => {
  const second = madeUpSeries({
    id: '2.25.5',
    description: 'Lower jaw',
    person: { name: 'Lindqvist, Karl', id: 'P-2', birthDate: '' },
    memory: { volumeBytes: 3 * 2 ** 30, peakBytes: 4 * 2 ** 30 },
  })
  const pick = {
    series: [madeUpSeries(), scout, refused, unplaced, second],
    report: [],
    budgetBytes: 2 ** 31,
  }

  test('tells name, size, voxel and memory of each, and warns loudly of two patients', async () => {
    const chooser = await mounted('alv-series-chooser', pick)
    const written = text(chooser)
    expect(written).toContain('Scans of 2 patients are in this pick.')
    expect(written).toContain('Weber, Anna ID P-1 born 1970-03-05')
    expect(written).toContain('Lindqvist, Karl ID P-2 no birth date')
    expect(written).toContain('400 × 400, 300 slices')
    expect(written).toContain('0.200 × 0.200 × 0.300\u202fmm'.replace(/\s/g, ' '))
    expect(written).toContain('92 MB')
    expect(written).toContain('3.0 GB, more than the 2.0 GB there are')
    expect(one(chooser, '[role=alert]')).toBeTruthy()
  })

  test('one patient is no alarm; one number under two names is', async () => {
    const quiet = await mounted('alv-series-chooser', { ...pick, series: [madeUpSeries(), unplaced] })
    expect(all(quiet, '[role=alert]')).toEqual([])
    const other = madeUpSeries({
      id: '2.25.9',
      person: { name: 'Weber, Anne', id: 'P-1', birthDate: '19700305' },
    })
    const loud = await mounted('alv-series-chooser', { ...pick, series: [madeUpSeries(), other] })
    expect(text(loud)).toContain('2 different names or birth dates')
  })

  test('one click opens; a scout and a refused series cannot be opened, and the refusal says why', async () => {
    const chooser = await mounted('alv-series-chooser', pick)
    const chosen = heard(chooser, 'alv-choose-series')
    one(chooser, 'button.door').click()
    expect(chosen).toEqual([{ id: '2.25.1' }])
    expect(all<HTMLButtonElement>(chooser, 'button.face').map((b) => b.disabled)).toEqual([
      false,
      true,
      false,
    ])
    expect(text(chooser)).toContain('Two images lie at one place. Export again.')
    expect(text(chooser)).toContain('cannot be measured')
  })

  test('where the file lacks geometry, that can be confirmed', async () => {
    const chooser = await mounted('alv-series-chooser', { ...pick, series: [unplaced] })
    const chosen = heard(chooser, 'alv-choose-series')
    expect(text(chooser)).toContain('This scan does not give all of its geometry')
    one(chooser, 'button.door').click()
    expect(chosen).toEqual([{ id: '2.25.4' }])
  })

  test('arrow keys go from one to the next and stop at the ends', async () => {
    const chooser = await mounted('alv-series-chooser', {
      ...pick,
      series: [madeUpSeries(), scout, unplaced],
    })
    chooser.focus()
    const focused = (): string => chooser.shadowRoot?.activeElement?.textContent ?? ''
    expect(focused()).toContain('Upper jaw')
    press(one(chooser, 'button.door'), 'ArrowDown')
    expect(focused()).toContain('Confirm the geometry')
    press(one(chooser, 'button.door', 1), 'ArrowRight')
    expect(focused()).toContain('Confirm the geometry')
    press(one(chooser, 'button.door', 1), 'ArrowUp')
    expect(focused()).toContain('Upper jaw')
  })

  test('with two patients no series has the focus, so that Enter opens none by accident', async () => {
    const chooser = await mounted('alv-series-chooser', pick)
    chooser.focus()
    expect(chooser.shadowRoot?.activeElement?.textContent).toContain('2 patients')
  })
})

describe('the offer for a scan that is too large', () => {
  const set = { series: madeUpSeries(), offer: madeUpOffer }

  test('half resolution says what it comes to and loads', async () => {
    const offer = await mounted('alv-size-offer', set)
    expect(text(offer)).toContain('voxels 0.400 × 0.400 × 0.600 mm, 12 MB')
    const asked = heard(offer, 'alv-reduce')
    one(offer, 'button.load').click()
    expect(asked).toEqual([{ half: true }])
  })

  test('a part is told in millimetres and megabytes while it is typed; one that does not fit cannot be loaded', async () => {
    const offer = await mounted('alv-size-offer', set)
    const asked = heard(offer, 'alv-reduce')
    const fields = all<HTMLInputElement>(offer, 'input[type=number]')
    for (const [n, value] of ['101', '300', '1', '200', '51', '150'].entries())
      type(fields[n] as HTMLInputElement, value)
    await settled()
    // 200 x 200 x 100 voxels of two bytes; 40 x 40 x 30 mm.
    expect(text(offer)).toContain('40.0 × 40.0 × 30.0 mm, 8 MB')
    one(offer, 'button.load', 1).click()
    expect(asked).toEqual([{ half: false, region: { from: [100, 0, 50], to: [300, 200, 150] } }])
    type(fields[0] as HTMLInputElement, '1')
    type(fields[1] as HTMLInputElement, '400')
    type(fields[3] as HTMLInputElement, '400')
    type(fields[5] as HTMLInputElement, '300')
    await settled()
    expect(text(offer)).toContain('still too large')
    expect(one<HTMLButtonElement>(offer, 'button.load', 1).disabled).toBe(true)
    type(fields[1] as HTMLInputElement, '')
    await settled()
    expect(text(offer)).toContain('Not 2 or more voxels')
  })

  test('which way the axes run is told where the file says so', async () => {
    const offer = await mounted('alv-size-offer', set)
    expect(text(offer)).toContain('Right to Left')
    expect(text(offer)).toContain('Feet to Head')
  })
})

describe('the geometry check', () => {
  const set = { preview: madeUpPreview, picture: madeUpPicture, name: 'Frames' }
  const pictures = (check: Element): Element[] => all(check, 'alv-check-picture')
  const letters = (check: Element): string[] =>
    pictures(check).flatMap((p) => all(p, 'text.side').map((t) => t.textContent ?? ''))

  test('shows no millimetre and no side until they are answered, but what the file claims', async () => {
    const check = await mounted('alv-geometry-check', set)
    expect(text(check).replace('Spacing Between Slices says 0.400 mm', '')).not.toMatch(/\d\s*mm/)
    expect(letters(check)).toEqual([])
    expect(one<HTMLButtonElement>(check, 'button.confirm').disabled).toBe(true)
    expect(pictures(check).map((p) => one<HTMLCanvasElement>(p, 'canvas').width)).toEqual([40, 40, 30])
  })

  test('a line moved by keys and a length typed give the pixel, with how sure it is', async () => {
    const check = await mounted('alv-geometry-check', set)
    const pixel = one(check, 'fieldset')
    const input = pixel.querySelector<HTMLInputElement>('input[type=number]')
    if (!input) throw new Error('no field')
    type(input, '6')
    await settled()
    expect(pixel.textContent).toContain('Now set both ends')
    const [slice] = pictures(check)
    if (!slice) throw new Error('no picture')
    // At first from 0.6 to 1.4 times the middle at 19.5: 15.6 pixels. Four more to the right.
    for (let n = 0; n < 4; n++) press(one(slice, '[data-end=to]'), 'ArrowRight')
    await settled()
    expect(pixel.textContent?.replace(/\s+/g, ' ')).toContain(`${(6 / 19.6).toFixed(3)} ±`)
  })

  test('the end that is dragged follows the pointer', async () => {
    const check = await mounted('alv-geometry-check', set)
    const [slice] = pictures(check)
    if (!slice) throw new Error('no picture')
    const place = (): number => Number(one(slice, '[data-end=to] .mark').getAttribute('cx'))
    const before = place()
    const grip = one(slice, '[data-end=to] .area')
    const pointer = (kind: string, x: number): boolean =>
      grip.dispatchEvent(
        new PointerEvent(kind, {
          bubbles: true,
          composed: true,
          pointerId: 1,
          button: 0,
          clientX: x,
          clientY: 9,
        }),
      )
    // There is no such pointer to be captured in a made-up event.
    one(slice, '.stage').setPointerCapture = () => undefined
    pointer('pointerdown', 100)
    pointer('pointermove', 112)
    pointer('pointerup', 112)
    await settled()
    expect(place() - before).toBeCloseTo(12, 6)
  })

  test('sides appear on all three pictures as they are chosen; all answered, it is confirmed', async () => {
    const check = await mounted('alv-geometry-check', set)
    const confirmed = heard(check, 'alv-confirm-geometry')
    const radio = (n: number, label: string): void => {
      const found = [...one(check, 'fieldset', n).querySelectorAll('label')].find((l) =>
        l.textContent?.includes(label),
      )
      found?.querySelector('input')?.click()
    }
    const select = (id: string, value: string): void => {
      const box = one<HTMLSelectElement>(check, `select#${id}`)
      box.value = value
      box.dispatchEvent(new Event('change', { bubbles: true }))
    }
    select('left', 'Right')
    await settled()
    expect(letters(check)).toEqual(['Right', 'Left', 'Right', 'Left'])
    select('top', 'Front')
    await settled()
    radio(2, 'towards Head')
    await settled()
    expect(letters(check)).toEqual([
      ...['Right', 'Left', 'Front', 'Back'],
      // The first slice is above, and the feet with it.
      ...['Right', 'Left', 'Feet', 'Head'],
      ...['Front', 'Back', 'Feet', 'Head'],
    ])
    radio(0, 'by typing')
    await settled()
    const typed = one(check, 'fieldset').querySelector<HTMLInputElement>('input[type=number]')
    if (!typed) throw new Error('no field')
    type(typed, '0.25')
    radio(1, 'says')
    await settled()
    expect(text(check)).toContain('The scan would be 10.0 × 7.5 × 8.0 mm. Can that be?')
    one(check, 'button.confirm').click()
    expect(confirmed).toEqual([
      {
        answers: {
          pixelSpacingMm: [0.25, 0.25],
          sliceStepMm: 0.4,
          orientation: { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] },
          how: { 'pixel-spacing': 'typed', 'slice-step': 'from-header', orientation: 'chosen' },
        },
      },
    ])
  })

  test('what the loader refuses is said beside the button, and the answers stay', async () => {
    const check = await mounted('alv-geometry-check', set)
    const box = one<HTMLSelectElement>(check, 'select#left')
    box.value = 'Head'
    box.dispatchEvent(new Event('change', { bubbles: true }))
    check.problem = 'The confirmed sides contradict the positions of the slices in the file.'
    await settled()
    expect(one(check, '[role=alert]').textContent).toContain('contradict the positions')
    expect(letters(check)).toContain('Head')
  })

  test('the slider turns to another picture', async () => {
    const asked: string[] = []
    const check = await mounted('alv-geometry-check', {
      ...set,
      picture: (across, index) => {
        asked.push(`${across}:${index}`)
        return madeUpPicture(across, index)
      },
    })
    expect(asked.sort()).toEqual(['0:20', '1:15', '2:10'])
    const slider = one<HTMLInputElement>(check, 'input[type=range]')
    slider.value = '3'
    slider.dispatchEvent(new Event('input', { bubbles: true }))
    await settled()
    expect(asked).toContain('2:3')
    expect(text(check)).toContain('slice 4 of 20')
  })
})

describe('the load report', () => {
  const report = [
    { level: 'note', code: 'padding', message: '3 % are padding.' },
    { level: 'warn', code: 'half-resolution', message: 'Loaded at half resolution.' },
  ] as const

  test('what matters most stands first; a line opens to its page, without HTML', async () => {
    const element = await mounted('alv-load-report', {
      full: true,
      report,
      explain: async (code) =>
        `# On ${code}\n\nA **strong** \`word\` <img src=x onerror=alert(1)>.\n\n- one\n- two`,
    })
    expect(all(element, '.level').map((l) => l.textContent)).toEqual(['warning', 'note'])
    one<HTMLDetailsElement>(element, 'details').open = true
    await settled()
    const meaning = one(element, '.meaning')
    expect(meaning.textContent).toContain('On half-resolution')
    expect(meaning.querySelector('img')).toBeNull()
    expect(meaning.textContent).toContain('<img src=x onerror=alert(1)>')
    expect([...meaning.querySelectorAll('li')].map((li) => li.textContent)).toEqual(['one', 'two'])
    expect(meaning.querySelector('code')?.textContent).toBe('word')
  })

  test.each([
    ['there is none', async (): Promise<string> => ''],
    ['it cannot be had', (): Promise<string> => Promise.reject(new Error('offline'))],
    ['nobody explains', null],
  ] as const)('the few words of the code stand where a page is missing: %s', async (_, explain) => {
    const element = await mounted('alv-load-report', { full: true, report, explain })
    one<HTMLDetailsElement>(element, 'details').open = true
    await settled()
    expect(one(element, '.meaning').textContent).toContain('Loaded at half resolution')
  })

  test('bytes are counted in megabytes, files and slices by number', async () => {
    const element = await mounted('alv-load-report', {
      progress: { stage: 'fetch', done: 12 * 2 ** 20, total: 48 * 2 ** 20 },
    })
    expect(text(element)).toContain('fetching the scan 12 MB of 48 MB')
    element.progress = { stage: 'pixels', done: 3, total: 9 }
    await settled()
    expect(text(element)).toContain('reading slices 3 of 9')
  })

  test('Markdown: headings, paragraphs over lines, both lists, code; anything else is text', () => {
    const blocks = readMarkdown('# A\n\none\ntwo\n\n1. x\n2. y\n\n```\nraw *text*\n```\n> quote')
    expect(blocks).toEqual([
      { kind: 'heading', text: 'A' },
      { kind: 'paragraph', text: 'one two' },
      { kind: 'list', ordered: true, items: ['x', 'y'] },
      { kind: 'code', text: 'raw *text*' },
      { kind: 'paragraph', text: '> quote' },
    ])
  })
})

test('the title block tells half resolution, what was confirmed by hand, and how many warnings', async () => {
  const facts = {
    name: 'scan.zip',
    description: '',
    seriesUid: '2.25.1',
    frameOfReferenceUid: '2.25.2',
    fingerprint: 'x',
    shape: [10, 10, 10],
    spacingMm: [0.4, 0.4, 0.4],
    unit: 'grey value',
    greyLow: 0,
    greyHigh: 1,
    centre: [0, 0, 0],
    remarks: [{ level: 'warn', code: 'half-resolution', text: 'Loaded at half resolution' }],
    confirmed: { pixelSpacingMm: [0.2, 0.2], how: { 'pixel-spacing': 'known-length' } },
  } as const
  const block = await mounted('alv-title-block', {
    facts,
    report: [
      { level: 'warn', code: 'half-resolution', message: 'Loaded at half resolution.' },
      { level: 'warn', code: 'geometry-confirmed', message: 'Confirmed.' },
    ],
  })
  expect(text(block)).toContain('0.400 half resolution')
  expect(text(block)).toContain('pixel size: confirmed by hand')
  expect(text(block)).toContain('2 warnings')
})
