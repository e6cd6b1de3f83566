/** The packed model and the script of its worker, as they stand in the page. */
export function embedded() {
    const text = (id) => document.getElementById(id).textContent;
    return {
        worker: text("live-worker"),
        module: Uint8Array.from(atob(text("live-module")), (sign) => sign.charCodeAt(0)),
    };
}

/** A worker with the model of one case in it; see cases/browser/worker.js. */
export class Model {
    /** @param model {worker, module, text, name}: script, WebAssembly packed or compiled, case text, its name
     *  @param lost  called when it has ended by itself */
    constructor(model, lost = () => {}) {
        const address = URL.createObjectURL(new Blob([model.worker], { type: "text/javascript" }));
        this.worker = new Worker(address);
        URL.revokeObjectURL(address);
        this.answers = [];
        this.ready = new Promise((resolve, reject) => {
            const fail = (fault) => {
                reject(fault);
                for (const asked of this.answers.splice(0)) asked.lost(fault);
                lost(fault);
            };
            this.worker.onerror = (event) => {
                event.preventDefault();
                fail(new Error(event.message || "the worker did not start"));
            };
            this.worker.onmessage = ({ data }) => {
                if (data.opened) resolve(data.opened);
                else if (data.failed) fail(new Error(data.failed));
                else this.answers.shift().got(data.answer);
            };
        });
        this.ready.catch(() => {});
        this.worker.postMessage({ open: { module: model.module, text: model.text, name: model.name } });
    }

    /** One answer after the other, in the order of the requests. */
    ask(request) {
        return this.ready.then(() => new Promise((got, lost) => {
            this.answers.push({ got, lost });
            this.worker.postMessage({ request });
        }));
    }

    stop() {
        this.worker.terminate();
        for (const asked of this.answers.splice(0)) asked.lost(new Error("stopped"));
    }
}
