import { afterEach, expect, test, vi } from 'vitest'
import { printWhen } from '../src/chairside/printing.js'

const print = vi.spyOn(window, 'print').mockImplementation(() => undefined)
afterEach(() => print.mockClear())

const pressed = (init: KeyboardEventInit): KeyboardEvent =>
  new KeyboardEvent('keydown', { cancelable: true, ...init })

test('a print asked for by key waits for the refined numbers', async () => {
  let done = (): void => undefined
  const settled = new Promise<void>((resolve) => {
    done = resolve
  })
  const key = pressed({ key: 'p', ctrlKey: true })
  expect(printWhen(key, true, () => settled)).toBe(true)
  expect(key.defaultPrevented).toBe(true)
  expect(print).not.toHaveBeenCalled()
  done()
  await settled
  expect(print).toHaveBeenCalledTimes(1)
})

test('with nothing to wait for, or another key, the browser does as always', () => {
  const settled = (): Promise<void> => Promise.resolve()
  for (const [init, busy] of [
    [{ key: 'p', ctrlKey: true }, false],
    [{ key: 'p' }, true],
    [{ key: 'p', ctrlKey: true, shiftKey: true }, true],
    [{ key: 'z', metaKey: true }, true],
  ] as const) {
    const key = pressed(init)
    expect(printWhen(key, busy, settled)).toBe(false)
    expect(key.defaultPrevented).toBe(false)
  }
  expect(print).not.toHaveBeenCalled()
})
