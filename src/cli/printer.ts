/** A thread that prints sheets: plain data in, PDFs out. It opens no kernel. */
import { parentPort } from 'node:worker_threads';
import { printPaper, type PaperData } from '../outputs/paper/paper.ts';

const port = parentPort;
if (port === null) throw new Error('this file runs as a worker');

port.on('message', async ({ data, font }: { readonly data: PaperData; readonly font: Uint8Array }) => {
  const { files } = await printPaper(data, font);
  // A PDF may be a view into a larger buffer of the writer: what is handed over is its own.
  const own = files.map((file) => ({ ...file, bytes: file.bytes.slice() }));
  port.postMessage(own, own.map((file) => file.bytes.buffer as ArrayBuffer));
});
