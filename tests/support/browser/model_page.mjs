// Runs the embedded model in headless Chromium, in a worker of a bare page from file:// under the
// report's policy, with networking refused: `node model_page.mjs FILE`, FILE as for model.mjs. Prints
// {ready, answers, milliseconds, faults, requests}.
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Browser } from "./browser.mjs";

const input = readFileSync(process.argv[2], "utf8");
const script = `
const data = JSON.parse(document.getElementById("data").textContent);
const begin = performance.now();
const worker = new Worker(URL.createObjectURL(new Blob([data.worker], { type: "text/javascript" })));
const waiting = [];
worker.onmessage = ({ data }) => waiting.shift()(data);
worker.onerror = (event) => waiting.shift()({ failed: event.message });
const ask = (message) => new Promise((got) => { waiting.push(got); worker.postMessage(message); });
const bytes = Uint8Array.from(atob(data.packed), (sign) => sign.charCodeAt(0));
globalThis.run = (async () => {
    const opened = await ask({ open: { module: bytes, text: data.text, name: data.name } });
    if (opened.failed) throw new Error(opened.failed);
    const ready = performance.now() - begin, answers = [], milliseconds = [];
    for (const request of data.requests) {
        const start = performance.now();
        answers.push((await ask({ request })).answer);
        milliseconds.push(performance.now() - start);
    }
    return { ready, answers, milliseconds };
})();
`;
const hash = createHash("sha256").update(script).digest("base64");
const policy = `default-src 'none'; script-src 'sha256-${hash}' 'wasm-unsafe-eval'; worker-src blob:`;
const page = `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}"><title>model</title></head><body>
<script type="application/json" id="data">${input.replaceAll("<", "\\u003c")}</script>
<script>${script}</script></body></html>`;

const folder = mkdtempSync(join(tmpdir(), "plenair-page-"));
const browser = new Browser();
try {
    const file = join(folder, "page.html");
    writeFileSync(file, page);
    await browser.open();
    await browser.send("Network.emulateNetworkConditions",
        { offline: true, latency: 0, downloadThroughput: 0, uploadThroughput: 0 });
    await browser.visit(pathToFileURL(file).href);
    const found = await browser.evaluate("run");
    console.log(JSON.stringify({ ...found, faults: browser.faults, requests: browser.requests }));
} finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
}
