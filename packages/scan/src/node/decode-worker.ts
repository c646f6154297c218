import { parentPort } from 'node:worker_threads'
import { answerBlock, type CompressedImage, type DecodeReply } from '../decode/index.js'
import { nodeCodecs } from './decoder-codecs.js'

/** A thread that decodes blocks of compressed images, one after another, and is ended when one of them fails. */
const codecs = nodeCodecs()

// The codecs write every failure to the console, mostly as a number; the answer says all that is of use.
console.log = () => {}
console.error = () => {}

parentPort?.on('message', async (images: readonly CompressedImage[]) => {
  const { reply, transfer } = await answerBlock(images, codecs)
  parentPort?.postMessage(reply, transfer)
})
parentPort?.postMessage({ kind: 'ready' } satisfies DecodeReply)
