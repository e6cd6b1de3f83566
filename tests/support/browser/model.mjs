// Runs the embedded model in Node: `node model.mjs FILE` with FILE a JSON object {packed, worker,
// text, name, requests, repeat}. Prints {ready, answers, milliseconds, memory}: time to open, what
// the model said, how long each took, bytes of memory after each.
import { readFileSync } from "node:fs";
import vm from "node:vm";

const { packed, worker, text, name, requests } = JSON.parse(readFileSync(process.argv[2], "utf8"));
const context = vm.createContext({ WebAssembly, Blob, Response, DecompressionStream, TextEncoder, TextDecoder });
vm.runInContext(worker, context);
const begin = performance.now();
const model = await context.openModel({ module: Buffer.from(packed, "base64"), text, name });
const ready = performance.now() - begin;
const answers = [], milliseconds = [], memory = [];
for (const request of requests) {
    const start = performance.now();
    answers.push(model.answer(request));
    milliseconds.push(performance.now() - start);
    memory.push(model.memory());
}
console.log(JSON.stringify({ ready, answers, milliseconds, memory }));
