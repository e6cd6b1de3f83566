// Runs the model of a report in a worker of the page. The page sends
//   {open: {module, text, name}}  module: bytes packed by gzip, or what "opened" gave back;
//                                 text: the case file; name: how messages call it
//   {request}                     an object as in cases/live/answer.hpp
// and gets {opened: module} or {failed: "why"}, then {answer} to each request, in order.

/** Compiles packed bytes; a module that another worker compiled is used as it is. */
async function compiled(module) {
    if (module instanceof WebAssembly.Module) return module;
    const plain = new Blob([module]).stream().pipeThrough(new DecompressionStream("gzip"));
    return WebAssembly.compile(await new Response(plain).arrayBuffer());
}

/** The module gets memory and nothing else: its C library's wish to know the environment is refused
 *  by the number that stands for "not there", and an end of the program is a fault. */
function imports(module) {
    const known = {
        emscripten_notify_memory_growth: () => {},
        environ_sizes_get: () => 52,
        environ_get: () => 52,
    };
    const all = {};
    for (const { module: from, name } of WebAssembly.Module.imports(module)) {
        all[from] ??= {};
        all[from][name] = known[name] ?? (() => { throw new Error(`the model asked for ${name}`); });
    }
    return all;
}

/** A model of the case: {answer(request)}. */
function instance(module, text, name) {
    const model = new WebAssembly.Instance(module, imports(module)).exports;
    const give = (string) => {
        const bytes = new TextEncoder().encode(string);
        const address = model.allocate(bytes.length);
        new Uint8Array(model.memory.buffer, address, bytes.length).set(bytes);
        return [address, bytes.length];
    };
    model._initialize();
    const [at, length] = give(text), [nameAt, nameLength] = give(name);
    model.open_model(at, length, nameAt, nameLength);
    model.release(at);
    model.release(nameAt);
    return {
        memory: () => model.memory.buffer.byteLength,
        answer(request) {
            const [address, size] = give(JSON.stringify(request));
            const count = model.answer(address, size);
            model.release(address);
            const bytes = new Uint8Array(model.memory.buffer, model.answer_address(), count);
            return JSON.parse(new TextDecoder().decode(bytes));
        },
    };
}

/** Answers for ever: after a fault of the module itself it begins with a new instance. */
function keeper(module, text, name) {
    let model = instance(module, text, name);
    return {
        memory: () => model.memory(),
        answer(request) {
            try {
                return model.answer(request);
            } catch (fault) {
                model = instance(module, text, name);
                return { id: request.id, kind: request.kind, ok: false, status: 5,
                    errors: [`internal fault: ${fault.message}`] };
            }
        },
    };
}

async function openModel({ module, text, name }) {
    const ready = await compiled(module);
    return { module: ready, ...keeper(ready, text, name) };
}

if (typeof postMessage === "function" && typeof document === "undefined") {
    let model = null;
    let last = Promise.resolve();
    const handle = async ({ open, request }) => {
        if (open) {
            try {
                model = await openModel(open);
                postMessage({ opened: model.module });
            } catch (fault) {
                postMessage({ failed: String(fault.message ?? fault) });
            }
        } else if (model) {
            postMessage({ answer: model.answer(request) });
        }
    };
    addEventListener("message", ({ data }) => { last = last.then(() => handle(data)); });
}
