// Opens a TOML text in a language server and prints what an editor would show, as JSON:
//   node ask.mjs TEXT LINE COLUMN     TEXT: path of the file; from 0, where completion is asked for
// { completions: [label], hovers: [text of the first key of each line], faults: [[line, message]] }
// Exit status 3: the language server (npm: @taplo/lsp, installed by scripts/setup.sh test) is not there.
import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";

const modules = path.resolve("build/tools/node_modules");
if (!existsSync(path.join(modules, "@taplo/lsp"))) process.exit(3);
const { TaploLsp } = createRequire(modules + "/")("@taplo/lsp");

const [file, line, character] = [path.resolve(process.argv[2]), ...process.argv.slice(3).map(Number)];
const text = readFileSync(file, "utf8");
const uri = "file://" + file;
const waiting = new Map();
let faults = [];
let judged = () => {};
const whole = new Promise((done) => (judged = done));

const nothing = async (bytes) => bytes.length;
const server = await TaploLsp.initialize(
    {
        now: () => new Date(),
        envVar: () => undefined,
        envVars: () => [],
        stdErrAtty: () => false,
        stdin: async () => new Uint8Array(),
        stdout: nothing,
        stderr: nothing,
        glob: () => [],
        readFile: async (name) => readFileSync(name),
        writeFile: async () => {},
        urlToFilePath: (url) => url.replace(/^file:\/\//, ""),
        isAbsolute: path.isAbsolute,
        cwd: () => process.cwd(),
        findConfigFile: () => undefined,
        // It would look for a catalogue of schemas; a test asks nobody outside.
        fetch: { fetch: () => Promise.reject(new Error("no network")), Headers, Request, Response },
    },
    {
        onMessage: (message) => {
            if (message.method === "textDocument/publishDiagnostics") {
                faults = message.params.diagnostics.map((d) => [d.range.start.line, d.message]);
                if (faults.length > 0) judged();
            } else if (message.method && message.id !== undefined) {
                // It asks for the editor's settings: none.
                const settings = (message.params?.items ?? []).map(() => ({}));
                server.send({ jsonrpc: "2.0", id: message.id, result: settings });
            } else if (!message.method) {
                waiting.get(message.id)(message.result);
            }
        },
    },
);

let asked = 0;
function ask(method, params) {
    const id = ++asked;
    return new Promise((done) => {
        waiting.set(id, done);
        server.send({ jsonrpc: "2.0", id, method, params });
    });
}
const tell = (method, params) => server.send({ jsonrpc: "2.0", method, params });
const here = (position) => ({ textDocument: { uri }, position });

const root = "file://" + path.dirname(file);
await ask("initialize", {
    processId: null,
    rootUri: root,
    workspaceFolders: [{ uri: root, name: "case" }],
    capabilities: { textDocument: { completion: { completionItem: {} }, hover: {} } },
});
tell("initialized", {});
tell("textDocument/didOpen", { textDocument: { uri, languageId: "toml", version: 1, text } });
// Where there is no fault none is told apart from none yet.
await Promise.race([whole, new Promise((done) => setTimeout(done, 3000))]);
const completion = (await ask("textDocument/completion", here({ line, character }))) ?? [];
const hovers = [];
for (const at of text.split("\n").keys()) {
    const shown = await ask("textDocument/hover", here({ line: at, character: 1 }));
    hovers.push(shown?.contents?.value?.trim() ?? "");
}
const completions = (completion.items ?? completion).map((item) => item.label);
console.log(JSON.stringify({ completions, hovers, faults }));
process.exit(0);
