/// <reference lib="webworker" />
import { browserCodecs } from './browser-codecs.js'
import type { Codecs } from './codecs.js'
import type { DecodeReply, DecodeRequest } from './worker-messages.js'
import { answerBlock } from './worker-server.js'

/** A worker that decodes blocks of compressed images, one after another, and is ended when one of them fails. */
const scope = self as unknown as DedicatedWorkerGlobalScope
let codecs: Codecs | undefined

// The codecs write every failure to the console, mostly as a number; the answer says all that is of use.
console.log = () => {}
console.error = () => {}

const say = (reply: DecodeReply, transfer: Transferable[] = []): void => scope.postMessage(reply, transfer)

scope.addEventListener('message', async ({ data }: MessageEvent<DecodeRequest>) => {
  if (data.kind === 'codecs') {
    codecs = browserCodecs(data.addresses)
    return
  }
  if (!codecs) return
  const { reply, transfer } = await answerBlock(data.images, codecs)
  say(reply, transfer)
})
say({ kind: 'ready' })
